import type { Backend, ObserveOutcome } from '../backend';
import type { RunStatus, Sighting } from '../contract';
import { el, setAttribute, setShown, setText } from '../dom';
import { isOver, type RunView } from '../state/runView';
import { sightingWords } from '../words';
import { GuidePerson } from './guidePerson';
import { guideLine, isTakeBackKey, mayRecord, sightingKeys, sightingOfKey, takeBackLine, wentOutKey, type SightingKey } from './guideWords';
import { PromptSound } from './promptSound';
import { isTyping } from './typing';

/** Leads a person through a guided run: the prompt, and a key for everything that can be seen. */
export class GuidePanel {
  private readonly text = el('strong', { class: 'guide-text', 'data-testid': 'guide-text' });
  private readonly detail = el('span', { class: 'guide-detail' });
  private readonly buttons: ReadonlyMap<Sighting, HTMLButtonElement>;
  private readonly note = el('p', { class: 'guide-note', role: 'status', 'data-testid': 'guide-note' });
  private readonly backWord = el('span');
  private readonly back = el(
    'button',
    { type: 'button', class: 'guide-back', 'data-testid': 'take-back', 'aria-keyshortcuts': 'Backspace', hidden: true, onclick: () => void this.takeBack() },
    el('kbd', {}, '⌫'),
    this.backWord,
  );
  private readonly person = new GuidePerson();
  private readonly sound = new PromptSound();
  readonly element: HTMLElement;
  private status: RunStatus | null = null;
  private waiting = false;
  private prompted: number | null = null;

  constructor(
    private readonly backend: Backend,
    private readonly runId: string,
  ) {
    this.buttons = new Map([...sightingKeys, wentOutKey].map((key) => [key.seen, this.button(key)]));
    this.element = el(
      'section',
      { class: 'guide panel', 'aria-label': 'Guided run', hidden: true },
      el('p', { class: 'guide-prompt', role: 'status', 'aria-live': 'assertive' }, this.text, this.detail),
      el('p', { class: 'guide-caution' }, 'Open flame, hot oil. The prompt is a reminder, not a permission: lid at hand, eyes on the cup.'),
      el('div', { class: 'guide-keys', role: 'group', 'aria-label': 'What did you see?' }, ...this.buttons.values()),
      el('div', { class: 'guide-last' }, this.note, this.back),
      el('div', { class: 'guide-foot' }, this.person.element, this.sound.element),
    );
    document.addEventListener('keydown', this.pressed);
  }

  render(view: RunView, live: boolean): void {
    const shown = view.plan?.mode === 'guided' && !isOver(view);
    setShown(this.element, shown);
    this.status = shown ? view.status : null;
    const line = guideLine(this.status, live);
    setAttribute(this.element, 'data-guide', line.kind);
    setText(this.text, line.text);
    setText(this.detail, line.detail);
    const number = line.kind === 'apply' ? (this.status?.promptNumber ?? null) : null;
    if (shown && number !== null && number !== this.prompted) this.sound.beep();
    this.prompted = number ?? this.prompted;
    this.renderKeys();
  }

  dispose(): void {
    document.removeEventListener('keydown', this.pressed);
    this.sound.dispose();
  }

  private renderKeys(): void {
    for (const [seen, button] of this.buttons) button.disabled = this.waiting || !mayRecord(seen, this.status);
    setShown(this.buttons.get('went-out')!, this.status?.burningSeconds != null);
    const line = takeBackLine(this.status);
    setShown(this.back, line !== null);
    setText(this.backWord, line?.text ?? '');
    this.back.disabled = this.waiting;
  }

  private button({ digit, seen, word }: SightingKey): HTMLButtonElement {
    return el(
      'button',
      { type: 'button', class: 'guide-key', 'data-seen': seen, 'aria-keyshortcuts': digit, onclick: () => void this.record(seen) },
      el('kbd', {}, digit),
      el('span', {}, word),
    );
  }

  private readonly pressed = (event: KeyboardEvent): void => {
    if (isTyping(event) || !this.element.isConnected || document.querySelector('dialog[open]') !== null || this.waiting) return;
    const seen = sightingOfKey(event);
    if (seen !== null && mayRecord(seen, this.status)) void this.record(seen);
    else if (isTakeBackKey(event) && takeBackLine(this.status) !== null) void this.takeBack();
  };

  private record(seen: Sighting): Promise<void> {
    return this.enter(`Recording: ${sightingWords[seen]}`, `Recorded: ${sightingWords[seen]}`, this.backend.observe(this.runId, seen, this.person.name));
  }

  private async takeBack(): Promise<void> {
    const [line, seen] = [takeBackLine(this.status), this.status?.withdrawableSighting];
    if (line === null || seen == null) return;
    const words = sightingWords[seen];
    await this.enter(`Taking back: ${words}`, `Taken back: ${words}`, this.backend.takeBack(this.runId, line.atSeconds, this.person.name));
  }

  // One at a time: a second press before the answer would be a second application.
  private async enter(meanwhile: string, done: string, answer: Promise<ObserveOutcome>): Promise<void> {
    this.waiting = true;
    this.renderKeys();
    setText(this.note, meanwhile);
    try {
      const outcome = await answer;
      setText(this.note, outcome.kind === 'recorded' ? done : outcome.text);
      this.note.classList.toggle('bad', outcome.kind === 'refused');
    } catch (reason) {
      // Whether it arrived is not known: the log of the run tells.
      setText(this.note, `${reason instanceof Error ? reason.message : String(reason)} Look at the log of the run whether it was recorded.`);
      this.note.classList.add('bad');
    } finally {
      this.waiting = false;
      this.renderKeys();
    }
  }
}
