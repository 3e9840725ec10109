import type { MethodDefinition } from '../contract';
import { el, setShown, setText } from '../dom';
import { asks } from '../method';
import { Field } from './field';

/** What is known before a run, beside the expected flash point: nothing (a scouting run), a specification to be tested, or a finer last step. */
export class StartAim {
  private readonly unknown = el('input', { type: 'checkbox', id: 'field-scouting', 'data-testid': 'scouting' });
  private readonly unknownRow = el('div', { class: 'start-choice' }, this.unknown, el('label', { for: 'field-scouting' }, 'Flash point unknown: scouting run'));
  private readonly how = el('p', { class: 'start-how' });
  private readonly fine = el('input', { type: 'checkbox', id: 'field-fineStep' });
  private readonly fineLabel = el('label', { for: 'field-fineStep' });
  private readonly fineRow = el('div', { class: 'start-choice' }, this.fine, this.fineLabel);
  readonly specification = new Field(
    el('input', { inputmode: 'decimal', autocomplete: 'off' }),
    'specificationCelsius',
    'Specification, °C at 101.3 kPa',
    'The block is set to the temperature that this becomes at the pressure of the bench.',
  );
  readonly element = el('div', { class: 'start-aim' }, this.unknownRow, this.how, this.fineRow, this.specification.element);

  constructor(
    private readonly expected: Field<HTMLInputElement | HTMLSelectElement>,
  ) {
    this.unknown.addEventListener('change', () => this.show());
    this.show();
  }

  /** Shows what the method asks for. */
  set(method: MethodDefinition): void {
    const step = method.equilibrium?.optionalStepCelsius ?? null;
    setShown(this.unknownRow, method.unknownFlash != null);
    this.unknown.checked &&= method.unknownFlash != null;
    setText(this.how, howWords(method));
    setShown(this.fineRow, step !== null);
    this.fine.checked &&= step !== null;
    setText(this.fineLabel, `End the search with a step of ${String(step)} °C`);
    setShown(this.specification.element, asks(method) === 'specification');
    this.show();
  }

  /** Back to an expected flash point. */
  reset(): void {
    this.unknown.checked = false;
    this.show();
  }

  /** What was chosen; nothing of what is not shown. */
  entry(): { readonly scouting: boolean; readonly specification: string | null; readonly fineStep: boolean } {
    return { scouting: this.unknown.checked, specification: this.asksSpecification ? this.specification.input.value : null, fineStep: this.fine.checked };
  }

  private get asksSpecification(): boolean {
    return !this.specification.element.hidden;
  }

  private show(): void {
    setShown(this.expected.element, !this.unknown.checked && !this.asksSpecification);
    setShown(this.how, this.unknown.checked);
  }
}

/** How a scouting run by the method goes, in words. */
export function howWords(method: MethodDefinition): string {
  const rules = method.unknownFlash;
  if (rules == null) return '';
  const start = rules.startCelsius == null ? `at ${String(rules.startAtMostCelsius)} °C or below` : `between ${rules.startCelsius.from} and ${rules.startCelsius.to} °C`;
  return (
    `Until it is known, treat the specimen as one that flashes at room temperature. Start ${start}; apply the flame once before heating, and do not heat after a flash; ` +
    `then from ${rules.firstAtLeastAboveStartCelsius} °C above the start on. The run ends with the flash and reports nothing: it says what the next one may expect.`
  );
}
