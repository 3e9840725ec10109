import type { Backend, HeaterOutcome } from '../backend';
import type { DriveOverview, DriveTrip, HeaterRequest, TesterOverview } from '../contract';
import { el, setAttribute, setShown, setText } from '../dom';
import { codeWords } from '../words';
import { localTime } from '../format';
import { HeaterDialog } from './heaterDialog';
import { HeaterOffBar } from './heaterOffBar';
import { acknowledgeLine, flameLine, heaterBarLine, heaterByLine, heaterSpoken, heaterState, heaterStateWords, isTrouble, limitLine, powerLine, type HeaterState } from './heaterWords';

/** The heater of a driven tester: how it stands, why it was cut, on by name, off at once. */
export class HeaterPanel {
  private readonly glyph = el('span', { 'aria-hidden': 'true', class: 'heater-glyph' });
  private readonly word = el('span', { 'data-testid': 'heater-state' });
  private readonly by = el('p', { class: 'heater-by', 'data-testid': 'heater-by' });
  private readonly asked = el('span', { class: 'heater-asked' });
  private readonly given = el('span', { class: 'heater-given' });
  private readonly bar = el('div', { class: 'heater-power', role: 'img' }, this.given, this.asked);
  private readonly figures = el('p', { class: 'heater-figures', 'data-testid': 'heater-power' });
  private readonly flame = el('dd', { 'data-testid': 'heater-flame' });
  private readonly obeys = el('dd', { 'data-testid': 'heater-acknowledged' });
  private readonly limit = el('dd', { 'data-testid': 'heater-limit' });
  private readonly trips = el('ul', { class: 'heater-trips', 'data-testid': 'heater-trips' });
  private readonly on = el('button', { type: 'button', class: 'heater-on', 'data-testid': 'heater-on', onclick: () => this.dialog.open() }, 'Turn heater on');
  private readonly without = el('p', { class: 'heater-without' }, 'The heater can be turned on in an open run only: start one first.');
  private readonly spoken = el('p', { class: 'only-heard', role: 'status', 'aria-live': 'assertive' });
  private readonly dialog = new HeaterDialog((person) => this.ask({ on: true, person }));
  /** Stands below everything else and stays in sight. */
  readonly off = new HeaterOffBar(() => this.ask({ on: false }));
  readonly element = el(
    'section',
    { class: 'heater panel', 'aria-label': 'Heating', 'data-testid': 'heater-panel', hidden: true },
    el('div', { class: 'heater-head' }, el('h2', {}, 'Heater'), el('p', { class: 'heater-state' }, this.glyph, this.word), this.by),
    this.trips,
    el('div', { class: 'heater-watts' }, this.bar, this.figures),
    el(
      'dl',
      { class: 'heater-facts' },
      el('div', {}, el('dt', {}, 'Test flame'), this.flame),
      el('div', {}, el('dt', {}, 'Tester acknowledges'), this.obeys),
      el('div', {}, el('dt', {}, 'Over-temperature limit'), this.limit),
    ),
    el(
      'div',
      { class: 'heater-foot' },
      this.on,
      this.without,
      el('p', { class: 'heater-caution' }, 'Open flame, hot oil. This is not a safety device: an independent cut-out belongs on the heater, a person to the cup.'),
    ),
    this.spoken,
    this.dialog.element,
  );
  private runId: string | null = null;
  private shownTrips: readonly DriveTrip[] = [];
  private told: HeaterState | null = null;

  constructor(private readonly backend: Backend) {}

  /** @param live whether what is known of the tester is of now. */
  render(tester: TesterOverview | undefined, live: boolean): void {
    const drive = tester?.drive ?? null;
    setShown(this.element, drive !== null);
    this.runId = tester?.run != null && tester.run.closedAt === null && !tester.run.interrupted ? tester.run.id : null;
    if (tester === undefined || drive === null) {
      this.off.set(null, false);
      return;
    }
    const state = heaterState(drive, live);
    const { glyph, word } = heaterStateWords[state];
    setAttribute(this.element, 'data-heater', state);
    setText(this.glyph, glyph);
    setText(this.word, word);
    setText(this.by, heaterByLine(drive, state));
    this.renderFigures(drive, tester.status?.temperatureCelsius ?? null);
    this.renderTrips(drive.trips);
    setShown(this.on, this.runId !== null && (state === 'off' || state === 'tripped'));
    setShown(this.without, this.runId === null);
    this.off.set(this.runId === null ? null : heaterBarLine(drive, state), state === 'on' || state === 'disobeys');
    if (state !== this.told) setText(this.spoken, heaterSpoken(drive, state));
    this.told = state;
  }

  dispose(): void {
    this.off.dispose();
  }

  private ask(request: HeaterRequest): Promise<HeaterOutcome> {
    return this.runId === null ? Promise.resolve({ kind: 'refused', text: 'No run is open on this tester.' }) : this.backend.heater(this.runId, request);
  }

  private renderFigures(drive: DriveOverview, celsius: number | null): void {
    setAttribute(this.bar, 'aria-label', `Power: ${powerLine(drive)}`);
    setText(this.figures, powerLine(drive));
    this.asked.style.left = `${share(drive.askedFraction)}%`;
    this.given.style.width = `${share(drive.givenFraction ?? 0)}%`;
    setText(this.flame, flameLine(drive));
    const obeys = acknowledgeLine(drive);
    setText(this.obeys, obeys.text);
    this.obeys.classList.toggle('bad', !obeys.good);
    setText(this.limit, limitLine(drive, celsius));
  }

  private renderTrips(trips: readonly DriveTrip[]): void {
    if (trips.length === this.shownTrips.length && trips.every((trip, at) => trip.code === this.shownTrips[at]?.code && trip.text === this.shownTrips[at]?.text)) return;
    this.shownTrips = trips;
    this.trips.replaceChildren(
      ...trips.map((trip) =>
        el('li', { 'data-code': trip.code, 'data-trouble': String(isTrouble(trip)) }, el('strong', {}, `${isTrouble(trip) ? '▲' : '○'} ${codeWords(trip.code)}`), el('span', {}, trip.text), el('span', { class: 'quiet' }, `since ${localTime(trip.since)}`)),
      ),
    );
  }
}

function share(fraction: number): number {
  return Math.min(100, Math.max(0, fraction * 100));
}
