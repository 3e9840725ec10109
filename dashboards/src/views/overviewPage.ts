import type { RunSummary } from '../contract';
import type { Backend } from '../backend';
import { el, setText } from '../dom';
import { ConfigurationNote } from './configurationNote';
import { InfluxNote } from './influxNote';
import type { PageView, Scene } from './pageView';
import { PastRuns } from './pastRuns';
import { TesterCard } from './testerCard';

/** All testers at a glance, and the newest runs below. */
export class OverviewPage implements PageView {
  readonly title = 'Testers';
  private readonly cards = new Map<string, TesterCard>();
  private readonly note = el('p', { class: 'quiet' });
  private readonly grid = el('div', { class: 'cards' });
  private readonly past: PastRuns;
  private readonly configuration: ConfigurationNote;
  private readonly influx: InfluxNote;
  readonly element: HTMLElement;

  constructor(backend: Backend, changed: () => void) {
    this.past = new PastRuns(backend, null, changed);
    this.configuration = new ConfigurationNote(backend);
    this.influx = new InfluxNote(backend);
    this.element = el('div', { class: 'page' }, el('div', { class: 'page-head' }, el('h1', {}, 'Testers'), this.note), this.configuration.element, this.grid, this.influx.element, this.past.element);
  }

  render(scene: Scene): void {
    const { testers, receivedAt } = scene.testers;
    setText(this.note, noteOf(testers.length, testers.filter((tester) => isOpen(tester.run)).length, receivedAt !== null));
    const order = testers.map((tester) => tester.id);
    if (order.join('\n') !== [...this.cards.keys()].join('\n')) this.arrange(order);
    for (const tester of testers) this.cards.get(tester.id)?.render(tester, scene);
    this.past.render(scene);
  }

  dispose(): void {
    this.past.dispose();
    this.configuration.dispose();
    this.influx.dispose();
  }

  private arrange(order: readonly string[]): void {
    const held = new Map(this.cards);
    this.cards.clear();
    for (const id of order) this.cards.set(id, held.get(id) ?? new TesterCard());
    this.grid.replaceChildren(...[...this.cards.values()].map((card) => card.element));
  }
}

function isOpen(run: RunSummary | null): boolean {
  return run !== null && run.closedAt === null && !run.interrupted;
}

function noteOf(testers: number, running: number, received: boolean): string {
  if (!received) return 'Waiting for the service.';
  if (testers === 0) return 'No tester is configured. Add one to the configuration of the service.';
  return `${testers} in all, ${running === 0 ? 'none running' : `${running} running`}`;
}
