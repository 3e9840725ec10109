import type { Backend } from '../backend';
import type { AmbientOverview, InputError, MethodDefinition, PressureUnit } from '../contract';
import { materials } from '../method';
import { el, setText } from '../dom';
import { plain } from '../format';
import { emptyPressure } from './ambientWords';
import { cautions } from './cautions';
import { Field } from './field';
import { methodCard } from './methodCard';
import { ModeNote } from './modeNote';
import { onOrder, takeOrder } from '../state/pendingOrder';
import { StartAim } from './startAim';
import { fieldOf, pressureUnits, readEntry } from './startEntry';

/** Starts a run on one tester, with the method's figures and cautions beside the fields. */
export class StartForm {
  private methods: readonly MethodDefinition[] = [];
  private ambient: readonly AmbientOverview[] | null = null;
  private readonly method = new Field(el('select', { required: true }), 'methodId', 'Method', 'The text of the standard rules; this list carries its figures.');
  private readonly expected = new Field(
    el('input', { inputmode: 'decimal', autocomplete: 'off' }),
    'expectedFlashCelsius',
    'Expected flash point, °C',
    'The heating and the applications hang on it.',
  );
  private readonly aim = new StartAim(this.expected);
  private readonly unit = el(
    'select',
    { id: 'field-stationPressure-unit', name: 'pressureUnit', 'aria-label': 'Unit of the station pressure' },
    ...pressureUnits.map((unit) => el('option', { value: unit }, unit)),
  );
  private readonly pressure = new Field(
    el('input', { inputmode: 'decimal', autocomplete: 'off' }),
    'stationPressure',
    'Station pressure (may be empty)',
    'Absolute, as the barometer at the bench shows it; not reduced to sea level. Left empty, a barometer that the tester has is read as the run begins; without one the standard pressure is assumed, and the result says so.',
    this.unit,
  );
  private readonly specimen = new Field(el('input', { autocomplete: 'off', maxlength: '80' }), 'specimen', 'Specimen', 'What is in the cup, as booked in; up to 80 characters.');
  private readonly material = new Field(el('select', {}), 'material', 'Material', 'The method has figures of their own for some materials.');
  private readonly button = el('button', { type: 'submit', class: 'primary', 'data-testid': 'start-run' }, 'Start run');
  private readonly note = el('p', { class: 'form-note', role: 'status' });
  readonly mode = new ModeNote();
  private readonly beside = el('div', { class: 'start-beside' });
  readonly element: HTMLElement;

  constructor(
    private readonly backend: Backend,
    private readonly testerId: string,
  ) {
    const submit = (event: Event): void => {
      event.preventDefault();
      void this.submit();
    };
    const form = el(
      'form',
      { class: 'start-form', novalidate: true, onsubmit: submit },
      this.method.element,
      this.expected.element,
      this.aim.element,
      ...[this.pressure, this.specimen, this.material].map((field) => field.element),
      el('div', { class: 'form-foot' }, this.button, this.note),
    );
    this.method.input.addEventListener('change', () => this.showMethod());
    this.element = el('section', { class: 'start panel' }, el('h2', {}, 'Start a run'), this.mode.element, el('div', { class: 'start-grid' }, form, this.beside));
    onOrder(testerId, () => this.fill());
    void this.load();
  }

  /** What the tester is told of its room now. */
  setAmbient(ambient: readonly AmbientOverview[] | null): void {
    this.ambient = ambient;
    this.showPressure();
  }

  private showPressure(): void {
    const method = this.methods.find((one) => one.id === this.method.input.value);
    if (method !== undefined) this.pressure.input.placeholder = emptyPressure(this.ambient, plain(method.barometric.standardKilopascals));
  }

  // What a scouting run found out is what the proper run expects.
  private fill(): void {
    if (this.methods.length === 0) return;
    const order = takeOrder(this.testerId);
    if (order === null) return;
    this.method.input.value = order.next.methodId;
    this.showMethod();
    this.aim.reset();
    this.expected.input.value = plain(order.next.expectedFlashCelsius);
    this.specimen.input.value = order.specimen;
    setText(this.note, 'Filled from the scouting run. Take a fresh test portion and read the barometer.');
    this.element.scrollIntoView({ block: 'start' });
    this.pressure.input.focus();
  }

  private fields(): readonly Field<HTMLInputElement | HTMLSelectElement>[] {
    return [this.method, this.expected, this.aim.specification, this.pressure, this.specimen, this.material];
  }

  private async load(): Promise<void> {
    try {
      this.methods = await this.backend.methods();
    } catch (reason) {
      this.method.setError(reason instanceof Error ? reason.message : String(reason));
      setTimeout(() => void this.load(), 5000);
      return;
    }
    this.method.setError(null);
    this.method.input.replaceChildren(...this.methods.map((method) => el('option', { value: method.id }, method.title)));
    this.showMethod();
    this.fill();
  }

  private showMethod(): void {
    const method = this.methods.find((one) => one.id === this.method.input.value);
    if (method === undefined) return;
    this.showPressure();
    this.aim.set(method);
    const named = materials(method);
    this.material.element.hidden = named.length === 0;
    this.material.input.replaceChildren(el('option', { value: '' }, 'none of these'), ...named.map((one) => el('option', { value: one }, one)));
    this.beside.replaceChildren(cautions(method), methodCard(method));
  }

  private async submit(): Promise<void> {
    for (const field of this.fields()) field.setError(null);
    setText(this.note, '');
    const entry = readEntry({
      methodId: this.method.input.value,
      expectedFlash: this.expected.input.value,
      stationPressure: this.pressure.input.value,
      pressureUnit: this.unit.value as PressureUnit,
      specimen: this.specimen.input.value,
      material: this.material.element.hidden ? '' : this.material.input.value,
      ...this.aim.entry(),
    });
    if ('errors' in entry) {
      this.showErrors(entry.errors);
      return;
    }
    this.button.disabled = true;
    try {
      const outcome = await this.backend.start(this.testerId, entry.request);
      if (outcome.kind === 'refused') this.showErrors(outcome.errors);
      else setText(this.note, 'Started. The run appears here with its first reading.');
    } catch (reason) {
      setText(this.note, reason instanceof Error ? reason.message : String(reason));
    } finally {
      this.button.disabled = false;
    }
  }

  private showErrors(errors: readonly InputError[]): void {
    const loose: string[] = [];
    const hit = new Set<Field<HTMLInputElement | HTMLSelectElement>>();
    for (const error of errors) {
      const field = this.fields().find((one) => one.path === fieldOf(error.path));
      if (field === undefined || hit.has(field)) loose.push(error.path === '' ? error.message : `${error.path}: ${error.message}`);
      else {
        field.setError(error.message);
        hit.add(field);
      }
    }
    setText(this.note, loose.join(' '));
    this.fields().find((field) => hit.has(field))?.input.focus();
  }
}
