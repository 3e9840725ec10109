import { el, setText, type Child } from '../dom';

/** A labelled value with its unit and one line of detail. */
export class Readout {
  readonly element: HTMLElement;
  private readonly notCurrent = el('span', { class: 'only-heard' });
  private readonly figure: HTMLElement;
  private readonly unit = el('span', { class: 'unit' });
  private readonly line = el('p', { class: 'readout-line' });

  constructor(label: string, testId: string, size: 'large' | 'middle', ...more: readonly Child[]) {
    this.figure = el('span', { class: 'figure' });
    this.element = el(
      'div',
      { class: `readout ${size}` },
      el('h3', {}, label),
      el('p', { class: 'readout-value', 'data-testid': testId }, this.notCurrent, this.figure, this.unit),
      this.line,
      ...more,
    );
  }

  /** A value without a unit is words, and set smaller. */
  set(figure: string, unit: string, line = ''): void {
    setText(this.figure, figure);
    setText(this.unit, unit === '' ? '' : `\u00a0${unit}`);
    this.element.classList.toggle('words', unit === '');
    setText(this.line, line);
  }

  /** Strikes the value out: it is there, and not to be taken for the present one. */
  strike(on: boolean): void {
    this.element.classList.toggle('struck', on);
    setText(this.notCurrent, on ? 'Not current: ' : '');
  }

  mark(className: string, on: boolean): void {
    this.element.classList.toggle(className, on);
  }
}
