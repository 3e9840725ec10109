import { originWords } from './ambientWords';
import type { Backend } from '../backend';
import { RunChart } from '../chart/runChart';
import type { Finding, RunOutput, RunSummary } from '../contract';
import { el, setShown, setText } from '../dom';
import { celsius, count, fixed, localTime } from '../format';
import { readFacts, type RunFacts } from '../state/runFacts';
import { RunFollower } from '../state/runFollower';
import { isOver, type RunView } from '../state/runView';
import { standing } from '../state/standingFacts';
import { stateOf } from '../state/testersView';
import { AlarmList, joinAlarms } from './alarmList';
import { auditPanel } from './auditTable';
import { BenchLine } from './benchLine';
import { cautions } from './cautions';
import { EventLog } from './eventLog';
import { FaultSpeech } from './faultSpeech';
import { EquilibriumPanel } from './equilibriumPanel';
import { GuidePanel } from './guidePanel';
import { LiveReadouts, spoken } from './liveReadouts';
import type { Scene } from './pageView';
import { resultPanel } from './resultPanel';
import { applicationsTable, findingsTable } from './runTables';
import { stopButton } from './stopButton';
import { ThermometerPanel, standingOf } from './thermometerPanel';

/** One run: alarms, curve, figures or result, tables, log. Used for the run on a tester and for a past one. */
export class RunPanel {
  private readonly follower: RunFollower;
  private readonly title = el('h2', {}, 'Run');
  private readonly about = el('p', { class: 'run-about' });
  private readonly stop: HTMLElement;
  private readonly alarms = new AlarmList();
  private readonly trouble = el('p', { class: 'trouble', role: 'status', hidden: true });
  private readonly chart = new RunChart();
  private readonly guide: GuidePanel;
  private readonly portions: EquilibriumPanel;
  private readonly bench = new BenchLine();
  private readonly readouts = new LiveReadouts();
  private readonly side = el('div', { class: 'run-side' }, this.readouts.element);
  private readonly cautions = el('div', { class: 'run-cautions' });
  private readonly applications = el('div');
  private readonly findings = el('div');
  private readonly audit = el('div', { class: 'run-tables' });
  private readonly thermometer: ThermometerPanel;
  private readonly log = new EventLog();
  private readonly points = el('span', { 'data-testid': 'point-count' });
  private readonly eventCount = el('span', { 'data-testid': 'event-count' });
  private readonly rows = el('span');
  private readonly spoken = el('p', { class: 'only-heard', role: 'status', 'aria-live': 'polite' });
  private readonly speech = new FaultSpeech();
  private readonly csv: HTMLElement;
  private readonly seen: HTMLElement;
  private readonly body = el('div', { class: 'run-body' });
  readonly element: HTMLElement;
  private held: readonly RunOutput[] = [];
  private facts: RunFacts = readFacts([]);
  private factsOf: readonly RunOutput[] | null = null;
  private drawn: RunView | null = null;

  constructor(backend: Backend, runId: string, changed: () => void) {
    this.follower = new RunFollower(backend, runId, changed);
    this.stop = stopButton(backend, runId, () => this.follower.view.plan?.mode === 'driven');
    this.guide = new GuidePanel(backend, runId);
    this.portions = new EquilibriumPanel(backend, runId);
    this.thermometer = new ThermometerPanel(backend, runId);
    this.csv = el('a', { class: 'button', href: backend.csvAddress(runId), download: `${runId}.csv` }, 'Readings as CSV');
    this.seen = el('a', { class: 'button', href: backend.observationsAddress(runId), download: `${runId}.observations.csv`, hidden: true }, 'Observations as CSV');
    this.element = el(
      'section',
      { class: 'run', 'data-run-id': runId },
      el('header', { class: 'run-head' }, el('div', {}, this.title, this.about), el('div', { class: 'run-actions' }, this.csv, this.seen, this.stop)),
      this.spoken,
      this.speech.element,
      this.trouble,
      this.alarms.element,
      this.body,
    );
    this.bench.element.classList.add('panel');
    this.body.append(
      this.portions.element,
      this.guide.element,
      this.bench.element,
      el('div', { class: 'run-grid' }, this.chart.element, this.side),
      el('p', { class: 'run-counts' }, this.points, this.eventCount, this.rows),
      this.cautions,
      el(
        'div',
        { class: 'run-tables' },
        el('section', { class: 'panel' }, el('h3', {}, 'Applications'), this.applications),
        el('section', { class: 'panel' }, el('h3', {}, 'Findings'), this.findings),
      ),
      this.audit,
      this.thermometer.element,
      this.log.element,
    );
  }

  get runId(): string {
    return this.follower.runId;
  }

  /** The tester that made the run, once known. */
  get testerId(): string | null {
    return this.follower.view.summary?.testerId ?? null;
  }

  render(scene: Scene): void {
    const view = this.follower.view;
    if (view.events !== this.factsOf || view.loading !== this.drawn?.loading) this.readEvents(view);
    const tester = scene.testers.testers.find((one) => one.run?.id === view.runId);
    const over = isOver(view);
    const { condition, age } = tester === undefined ? { condition: 'live' as const, age: null } : stateOf(tester, scene.testers, scene.now);

    if (view !== this.drawn) this.renderView(view, over);
    this.drawn = view;
    this.thermometer.set(view, tester);
    this.guide.render(view, condition === 'live');
    this.portions.render(view, condition === 'live');
    this.bench.set(over || condition !== 'live' ? null : view.status, view.plan?.mode === 'driven', tester?.ambient ?? null);
    if (!over) this.readouts.render(this.holding(view), age, condition !== 'live', standingOf(view, tester));
    this.speech.set('Specimen temperature', view.status?.thermometerMarks ?? null, scene.now);
    const sounding = over ? [] : this.facts.alarms.filter((alarm) => alarm.toSeconds === null);
    // Why the heater was cut stands in its own panel above.
    const others = (tester?.alarms ?? []).filter((alarm) => tester?.drive?.trips.every((trip) => trip.code !== alarm.code) ?? true);
    this.alarms.set(over ? [] : joinAlarms(sounding, others));
  }

  dispose(): void {
    this.follower.stop();
    this.guide.dispose();
    this.chart.dispose();
  }

  /** The view with those of its events that hold: nobody is told again of what was taken back. */
  private holding(view: RunView): RunView {
    return this.held === view.events ? view : { ...view, events: this.held };
  }

  private readEvents(view: RunView): void {
    this.factsOf = view.events;
    this.facts = readFacts(view.events);
    this.held = standing(view.events);
    this.applications.replaceChildren(view.loading ? stillLoading() : applicationsTable(this.facts.applications));
    this.findings.replaceChildren(view.loading ? stillLoading() : findingsTable(findingsOf(this.holding(view))));
    this.log.set(view.events);
  }

  private renderView(view: RunView, over: boolean): void {
    this.chart.render(view, this.facts);
    setText(this.title, view.summary?.specimen ?? 'Run');
    setText(this.about, aboutWords(view));
    setShown(this.stop, !over && view.summary !== null);
    const unknown = view.summary === null && view.trouble !== null;
    setShown(this.body, !unknown);
    setShown(this.csv, !unknown);
    setShown(this.seen, !unknown && view.plan?.mode === 'guided');
    setShown(this.trouble, view.trouble !== null);
    setText(this.trouble, view.trouble ?? '');
    setText(this.points, view.loading ? '' : `${count(view.curve.time.length)} points`);
    setText(this.eventCount, view.loading ? '' : `${count(view.events.length)} events`);
    setText(this.rows, view.summary === null ? '' : `${count(view.summary.archivedRows)} rows archived`);
    const words = over ? `Record closed. ${view.summary?.result?.verdict ?? 'No result'}.` : spoken(this.holding(view));
    if (words !== '') setText(this.spoken, words);
    if (view.plan !== null && this.cautions.childElementCount === 0) this.cautions.append(cautions(view.plan.method));
    if (view.audit !== this.drawn?.audit) this.audit.replaceChildren(...(view.audit === null ? [] : [auditPanel(view.audit)].filter((panel) => panel !== null)));
    const closedAnew = over && (this.drawn === null || differs(this.drawn, view) || this.side.firstChild === this.readouts.element);
    if (closedAnew) this.side.replaceChildren(resultPanel(view));
    else if (!over && this.side.firstChild !== this.readouts.element) this.side.replaceChildren(this.readouts.element);
  }
}

/** Whether the result panel would say something else; a budget that was opened stays open as long as it would not. */
function differs(drawn: RunView, view: RunView): boolean {
  return drawn.summary?.result !== view.summary?.result || drawn.statement !== view.statement || drawn.detailIsFinal !== view.detailIsFinal;
}

/** "No finding" would be a statement; before the run is here there is none to make. */
function stillLoading(): HTMLElement {
  return el('p', { class: 'quiet' }, 'Loading');
}

/** The findings of the result once there is one: it holds all of them. */
function findingsOf(view: RunView): readonly Finding[] {
  const raised = view.events.flatMap((event) => (event.kind === 'finding-raised' ? [event.finding] : []));
  const closed = view.events.find((event) => event.kind === 'run-closed');
  return closed === undefined ? raised : closed.result.findings;
}

/** What was known before the run. */
function aimWords(summary: RunSummary): string {
  if (summary.scouting) return 'scouting run: flash point unknown';
  if (summary.specificationCelsius !== null) return `flash or no flash at ${celsius(summary.specificationCelsius, 1)}`;
  return summary.expectedFlashCelsius === null ? 'nothing expected' : `expected flash ${celsius(summary.expectedFlashCelsius, 0)}`;
}

function aboutWords(view: RunView): string {
  const { summary, plan } = view;
  if (summary === null) return view.trouble === null ? 'Loading' : '';
  const pressure = plan?.stationPressureKilopascals;
  return [
    plan?.method.title ?? summary.methodId,
    aimWords(summary),
    plan === null ? null : `${pressure == null ? 'pressure not given' : `${fixed(pressure, 1)} kPa`}${originWords(plan.barometer)}`,
    `started ${localTime(summary.startedAt)}`,
    summary.importedFrom === null ? null : `imported from archive ${summary.importedFrom.slice(0, 8)}`,
  ]
    .filter((text) => text !== null)
    .join(' · ');
}
