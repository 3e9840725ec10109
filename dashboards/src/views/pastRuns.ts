import type { Backend } from '../backend';
import type { RunResult, RunSummary, TesterOverview } from '../contract';
import { el, setText } from '../dom';
import { count, localTime, reported } from '../format';
import { verdictWords } from '../words';
import type { Scene } from './pageView';

/** The newest runs, of one tester or of all, with their results and their rows as CSV. */
export class PastRuns {
  private readonly body = el('tbody');
  private readonly note = el('p', { class: 'quiet' }, 'Loading');
  private readonly table: HTMLElement;
  readonly element: HTMLElement;
  private loadedFor: string | null = null;
  private disposed = false;

  constructor(
    private readonly backend: Backend,
    private readonly testerId: string | null,
  ) {
    const head = ['Started', 'Verdict', 'Flash', 'Fire', 'Specimen', 'Tester', 'Method', 'Rows', 'Readings'];
    this.table = el(
      'div',
      { class: 'table-frame', tabindex: '0', role: 'region', 'aria-label': 'Runs', hidden: true },
      el('table', { class: 'runs' }, el('thead', {}, el('tr', {}, ...head.map((name) => el('th', { scope: 'col' }, name)))), this.body),
    );
    this.element = el('section', { class: 'past' }, el('h2', {}, 'Runs'), this.note, this.table);
  }

  /** Loads again when a run was started or closed on a tester that is listed. */
  render(scene: Scene): void {
    const listed = scene.testers.testers.filter((tester) => this.testerId === null || tester.id === this.testerId);
    const key = listed.map(runKey).join('|');
    if (key === this.loadedFor) return;
    this.loadedFor = key;
    const names = new Map(scene.testers.testers.map((tester) => [tester.id, tester.name]));
    void this.load(names, key);
  }

  dispose(): void {
    this.disposed = true;
  }

  private async load(names: ReadonlyMap<string, string>, key: string): Promise<void> {
    try {
      const runs = await this.backend.runs(this.testerId, 50);
      if (this.disposed || key !== this.loadedFor) return;
      this.body.replaceChildren(...runs.map((run) => this.row(run, names)));
      this.table.hidden = runs.length === 0;
      setText(this.note, runs.length === 0 ? 'No run has been made yet.' : '');
    } catch (reason) {
      if (this.disposed) return;
      setText(this.note, `The list cannot be loaded: ${reason instanceof Error ? reason.message : String(reason)}`);
      setTimeout(() => {
        if (this.loadedFor === key) this.loadedFor = null;
      }, 5000);
    }
  }

  private row(run: RunSummary, names: ReadonlyMap<string, string>): HTMLElement {
    const started = el('time', { datetime: run.startedAt, title: run.startedAt }, localTime(run.startedAt));
    return el(
      'tr',
      {},
      el('td', {}, el('a', { href: `#/run/${encodeURIComponent(run.id)}` }, started)),
      el('td', {}, verdictOf(run), correctedWords(run.corrections), importedWords(run.importedFrom)),
      el('td', {}, pointOf(run.result, 'flash')),
      el('td', {}, pointOf(run.result, 'fire')),
      el('td', { class: 'free' }, run.specimen),
      el('td', {}, names.get(run.testerId) ?? run.testerId),
      el('td', {}, run.methodId),
      el('td', {}, count(run.archivedRows)),
      el('td', {}, el('a', { href: this.backend.csvAddress(run.id), download: `${run.id}.csv` }, 'CSV')),
    );
  }
}

/** Behind a verdict: that what is shown is as corrected after the run was closed. */
export function correctedWords(corrections: number): string {
  return corrections === 0 ? '' : corrections === 1 ? ', corrected' : `, corrected ${corrections} times`;
}

/** Behind that: that the run was not made here. */
export function importedWords(importedFrom: string | null): string {
  return importedFrom === null ? '' : ', imported';
}

function runKey(tester: TesterOverview): string {
  return `${tester.id}:${tester.run?.id ?? ''}:${tester.run?.closedAt ?? ''}:${tester.run?.interrupted ?? ''}`;
}

function verdictOf(run: RunSummary): HTMLElement | string {
  if (run.result !== null) {
    const words = verdictWords[run.result.verdict];
    return el('span', { class: 'verdict-small', 'data-verdict': run.result.verdict }, `${words.glyph} ${words.word}`);
  }
  return run.interrupted ? 'interrupted' : run.closedAt === null ? 'running' : 'no result';
}

function pointOf(result: RunResult | null, which: 'flash' | 'fire'): string {
  const point = result?.[which] ?? null;
  return point === null ? '–' : reported(point);
}
