import { el, setAttribute, setText } from '../dom';
import { personTyped } from './guideWords';

const kept = 'acquire-person-at-the-cup';

/** Who works the cup; may stay empty. Kept as long as the browser's tab, so that the next run does not ask again. */
export class GuidePerson {
  private readonly input = el('input', {
    id: 'guide-person', autocomplete: 'off', maxlength: '80', 'data-testid': 'guide-person', placeholder: 'may be empty', 'aria-describedby': 'guide-person-fault', onchange: () => this.keep(),
  });
  private readonly fault = el('span', { class: 'field-fault', id: 'guide-person-fault', role: 'status' });
  readonly element = el('p', { class: 'guide-person' }, el('label', { for: 'guide-person' }, 'At the cup'), this.input, this.fault);

  constructor() {
    this.input.value = sessionStorage.getItem(kept) ?? '';
  }

  /** The name as typed; null where there is none, or none that the record takes. */
  get name(): string | null {
    return personTyped(this.input.value).name;
  }

  private keep(): void {
    const { name, fault } = personTyped(this.input.value);
    sessionStorage.setItem(kept, name ?? '');
    setText(this.fault, fault ?? '');
    setAttribute(this.input, 'aria-invalid', fault === null ? null : 'true');
  }
}
