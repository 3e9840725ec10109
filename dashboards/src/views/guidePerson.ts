import { el } from '../dom';

const kept = 'acquire-person-at-the-cup';

/** Who works the cup; may stay empty. Kept as long as the browser's tab, so that the next run does not ask again. */
export class GuidePerson {
  private readonly input = el('input', { id: 'guide-person', autocomplete: 'off', maxlength: '80', 'data-testid': 'guide-person', placeholder: 'may be empty', onchange: () => this.keep() });
  readonly element = el('p', { class: 'guide-person' }, el('label', { for: 'guide-person' }, 'At the cup'), this.input);

  constructor() {
    this.input.value = sessionStorage.getItem(kept) ?? '';
  }

  /** The name as typed; null where there is none. */
  get name(): string | null {
    const typed = this.input.value.trim();
    return typed === '' ? null : typed;
  }

  private keep(): void {
    sessionStorage.setItem(kept, this.name ?? '');
  }
}
