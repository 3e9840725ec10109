import { el, setAttribute, setShown, setText } from '../dom';

/** A labelled input with a hint and a place for its error; beside it, where there is one, what belongs to the same entry. */
export class Field<E extends HTMLInputElement | HTMLSelectElement> {
  readonly element: HTMLElement;
  private readonly error: HTMLElement;

  constructor(
    readonly input: E,
    readonly path: string,
    label: string,
    hint: string,
    beside: HTMLElement | null = null,
  ) {
    const id = `field-${path}`;
    input.id = id;
    input.name = path;
    this.error = el('p', { class: 'field-error', id: `${id}-error`, hidden: true });
    input.setAttribute('aria-describedby', `${id}-hint ${id}-error`);
    this.element = el(
      'div',
      { class: 'field' },
      el('label', { for: id }, label),
      beside === null ? input : el('div', { class: 'field-row' }, input, beside),
      el('p', { class: 'field-hint', id: `${id}-hint` }, hint),
      this.error,
    );
  }

  setError(text: string | null): void {
    setText(this.error, text ?? '');
    setShown(this.error, text !== null);
    setAttribute(this.input, 'aria-invalid', text === null ? null : 'true');
  }
}
