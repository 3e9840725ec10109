import type { Backend } from '../backend';
import type { TesterOverview } from '../contract';
import { el, setShown, setText } from '../dom';
import { count } from '../format';
import { stateOf } from '../state/testersView';
import { AlarmList } from './alarmList';
import { ambientLine } from './ambientWords';
import { ConditionChip, ageWords, troubleWords } from './condition';
import { HeaterPanel } from './heaterPanel';
import type { PageView, Scene } from './pageView';
import { PastRuns } from './pastRuns';
import { RunPanel } from './runPanel';
import { StartForm } from './startForm';

/** One tester: its newest run, followed from one run to the next, the start form when none is open, and its past. */
export class TesterPage implements PageView {
  readonly title = 'Tester';
  private readonly name = el('h1');
  private readonly chip = new ConditionChip();
  private readonly about = el('p', { class: 'tester-about' });
  private readonly room = el('p', { class: 'tester-about', 'data-testid': 'room', hidden: true });
  private readonly trouble = el('p', { class: 'trouble', hidden: true });
  private readonly alarms = new AlarmList();
  private readonly place = el('div');
  private readonly heater: HeaterPanel;
  private readonly start: StartForm;
  private readonly past: PastRuns;
  private run: RunPanel | null = null;
  readonly element: HTMLElement;

  constructor(
    private readonly backend: Backend,
    private readonly testerId: string,
    private readonly changed: () => void,
  ) {
    this.heater = new HeaterPanel(backend);
    this.start = new StartForm(backend, testerId);
    this.past = new PastRuns(backend, testerId, changed);
    setText(this.name, testerId);
    this.element = el(
      'div',
      { class: 'page' },
      el(
        'header',
        { class: 'tester-head' },
        el('nav', { class: 'trail', 'aria-label': 'Where you are' }, el('a', { href: '#/' }, 'All testers')),
        this.name,
        this.chip.element,
        this.about,
        this.room,
      ),
      this.trouble,
      this.alarms.element,
      this.heater.element,
      this.place,
      this.start.element,
      this.past.element,
      this.heater.off.element,
    );
    setShown(this.start.element, false);
  }

  render(scene: Scene): void {
    const tester = scene.testers.testers.find((one) => one.id === this.testerId);
    if (tester === undefined) {
      setText(this.about, scene.testers.receivedAt === null ? 'Waiting for the service.' : 'The service knows no tester of this name.');
      return;
    }
    this.renderTester(tester, scene);
    this.heater.render(tester, stateOf(tester, scene.testers, scene.now).condition === 'live');
    this.followRun(tester.run?.id ?? null);
    this.run?.render(scene);
    const open = tester.run !== null && tester.run.closedAt === null && !tester.run.interrupted;
    setShown(this.start.element, !open);
    this.start.mode.set(tester.mode);
    this.start.setAmbient(tester.ambient);
    // While a run is open its panel shows the tester's alarms together with its own.
    this.alarms.set(open ? [] : tester.alarms);
    this.past.render(scene);
  }

  dispose(): void {
    this.run?.dispose();
    this.heater.dispose();
    this.past.dispose();
  }

  private renderTester(tester: TesterOverview, scene: Scene): void {
    const { condition, age } = stateOf(tester, scene.testers, scene.now);
    setText(this.name, tester.name);
    this.chip.set(condition, age);
    setText(this.about, `${tester.source} · ${ageWords(age)} · ${count(tester.counters.rows)} rows since the service started`);
    const room = (tester.ambient ?? []).map(ambientLine);
    setText(this.room, room.join(' · '));
    setShown(this.room, room.length > 0);
    const trouble = [tester.connection === 'up' ? '' : (tester.connectionText ?? ''), troubleWords(tester)].filter((text) => text !== '');
    setText(this.trouble, trouble.join(' · '));
    setShown(this.trouble, trouble.length > 0);
  }

  private followRun(runId: string | null): void {
    if (this.run?.runId === runId || (this.run === null && runId === null)) return;
    this.run?.dispose();
    this.run = runId === null ? null : new RunPanel(this.backend, runId, this.changed);
    this.place.replaceChildren(...(this.run === null ? [] : [this.run.element]));
  }
}
