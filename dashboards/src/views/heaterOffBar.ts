import type { HeaterOutcome } from '../backend';
import { el, setAttribute, setShown, setText } from '../dom';
import { isOffKey, offKey } from './heaterWords';
import { isTyping } from './typing';

/** Turns the heater off: one press, no question, always in sight while a run of a driven tester is open. Never dead: it may be pressed again and again. */
export class HeaterOffBar {
  private readonly state = el('span', { class: 'heater-bar-state' });
  private readonly note = el('span', { class: 'heater-bar-note', role: 'alert' });
  private readonly button = el(
    'button',
    { type: 'button', class: 'heater-off', 'data-testid': 'heater-off', 'aria-keyshortcuts': offKey, onclick: () => void this.press() },
    'Heater off',
    el('kbd', { 'aria-hidden': 'true' }, offKey),
  );
  readonly element = el('div', { class: 'heater-bar', role: 'region', 'aria-label': 'Heater off', hidden: true }, el('div', { class: 'heater-bar-words' }, this.state, this.note), this.button);
  private shown = false;
  private wasOn = false;

  constructor(private readonly turnOff: () => Promise<HeaterOutcome>) {
    document.addEventListener('keydown', this.pressed);
  }

  /** @param text how the heater stands; null where there is no run whose heater could be on. */
  set(text: string | null, on: boolean): void {
    // What was answered belongs to the turning off before, not to the heater that was turned on since.
    if (text === null || (on && !this.wasOn)) setText(this.note, '');
    this.wasOn = on;
    this.shown = text !== null;
    setShown(this.element, this.shown);
    setText(this.state, text ?? '');
    setAttribute(this.element, 'data-on', String(on));
  }

  dispose(): void {
    document.removeEventListener('keydown', this.pressed);
  }

  private readonly pressed = (event: KeyboardEvent): void => {
    if (this.shown && this.element.isConnected && isOffKey(event) && !isTyping(event)) void this.press();
  };

  private async press(): Promise<void> {
    setText(this.note, 'Turning off');
    try {
      const outcome = await this.turnOff();
      setText(this.note, outcome.kind === 'done' ? 'Off is taken' : `${outcome.text} Cut the heater at the tester.`);
    } catch (reason) {
      setText(this.note, `${reason instanceof Error ? reason.message : String(reason)} Cut the heater at the tester now.`);
    }
  }
}
