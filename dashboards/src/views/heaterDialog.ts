import type { HeaterOutcome } from '../backend';
import { el, setText } from '../dom';
import { Field } from './field';
import { heaterCautions, whyNotPerson } from './heaterWords';

/** Asks who turns the heater on, after the cautions. The name is asked for anew each time: it is that person who stays. */
export class HeaterDialog {
  private readonly person = new Field(el('input', { autocomplete: 'off', maxlength: '80' }), 'heater-person', 'Who turns it on and stays at the cup', 'The record keeps the name. 1 to 80 characters.');
  private readonly note = el('p', { class: 'form-note', role: 'alert' });
  private readonly yes = el('button', { type: 'submit', class: 'danger', 'data-testid': 'heater-on-confirm' }, 'Turn heater on');
  readonly element: HTMLDialogElement;

  constructor(private readonly turnOn: (person: string) => Promise<HeaterOutcome>) {
    const no = el('button', { type: 'button', onclick: () => this.element.close() }, 'Leave it off');
    const submit = (event: Event): void => {
      event.preventDefault();
      void this.submit();
    };
    this.element = el(
      'dialog',
      { class: 'ask heater-ask', 'aria-labelledby': 'heater-ask-title' },
      el(
        'form',
        { novalidate: true, onsubmit: submit },
        el('h2', { id: 'heater-ask-title' }, 'Turn the heater on?'),
        el(
          'div',
          { class: 'cautions' },
          el('h3', {}, el('span', { class: 'caution-sign', 'aria-hidden': 'true' }), 'Only where all of this is true'),
          el('ul', {}, ...heaterCautions.map((text) => el('li', {}, text))),
        ),
        this.person.element,
        this.note,
        el('div', { class: 'ask-buttons' }, no, this.yes),
      ),
    );
  }

  open(): void {
    this.person.input.value = '';
    this.person.setError(null);
    setText(this.note, '');
    this.element.showModal();
    this.person.input.focus();
  }

  private async submit(): Promise<void> {
    const name = this.person.input.value.trim();
    const fault = whyNotPerson(name);
    this.person.setError(fault);
    setText(this.note, '');
    if (fault !== null) {
      this.person.input.focus();
      return;
    }
    this.yes.disabled = true;
    try {
      const outcome = await this.turnOn(name);
      if (outcome.kind === 'done') this.element.close();
      else setText(this.note, outcome.text);
    } catch (reason) {
      setText(this.note, `${reason instanceof Error ? reason.message : String(reason)} Whether the heater is on is not known: look at the tester.`);
    } finally {
      this.yes.disabled = false;
    }
  }
}
