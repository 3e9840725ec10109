import type { Backend } from '../backend';
import type { RunResult, RunSummary, TesterOverview, Verdict } from '../contract';
import { el, setShown, setText } from '../dom';
import { count, localTime, reported } from '../format';
import { verdictWords } from '../words';
import type { Scene } from './pageView';
import { anything, RunSearch, type Search } from './runSearch';

const page = 50;

/** The newest runs, of one tester or of all, with their results and their rows as CSV. */
export class PastRuns {
  private readonly body = el('tbody');
  private readonly note = el('p', { class: 'quiet' }, 'Loading');
  private readonly table: HTMLElement;
  readonly element: HTMLElement;
  private readonly more = el('button', { type: 'button', class: 'more', hidden: true, onclick: () => void this.loadMore() }, 'Older runs');
  private loadedFor: string | null = null;
  private search: Search = anything;
  private last: string | null = null;
  private names: ReadonlyMap<string, string> = new Map();
  private disposed = false;

  constructor(
    private readonly backend: Backend,
    private readonly testerId: string | null,
    private readonly changed: () => void,
  ) {
    const head = ['Started', 'Verdict', 'Flash', 'Fire', 'Specimen', 'Tester', 'Method', 'Rows', 'Readings'];
    this.table = el(
      'div',
      { class: 'table-frame', tabindex: '0', role: 'region', 'aria-label': 'Runs', hidden: true },
      el('table', { class: 'runs' }, el('thead', {}, el('tr', {}, ...head.map((name) => el('th', { scope: 'col' }, name)))), this.body),
    );
    const find = new RunSearch((search) => {
      this.search = search;
      this.loadedFor = null;
      this.changed();
    });
    this.element = el('section', { class: 'past' }, el('h2', {}, 'Runs'), find.element, this.note, this.table, this.more);
  }

  /** Loads again when a run was started or closed on a tester that is listed. */
  render(scene: Scene): void {
    const listed = scene.testers.testers.filter((tester) => this.testerId === null || tester.id === this.testerId);
    const key = listed.map(runKey).join('|');
    if (key === this.loadedFor) return;
    this.loadedFor = key;
    this.names = new Map(scene.testers.testers.map((tester) => [tester.id, tester.name]));
    void this.load(key);
  }

  dispose(): void {
    this.disposed = true;
  }

  private async load(key: string): Promise<void> {
    const search = this.search;
    try {
      const runs = await this.backend.runs({ ...search, testerId: this.testerId, after: null, limit: page });
      if (this.disposed || key !== this.loadedFor || search !== this.search) return;
      this.body.replaceChildren(...runs.map((run) => this.row(run)));
      this.take(runs);
      setShown(this.table, runs.length > 0);
      setText(this.note, runs.length > 0 ? '' : search === anything ? 'No run has been made yet.' : 'No run is like that.');
    } catch (reason) {
      if (this.disposed) return;
      setText(this.note, `The list cannot be loaded: ${reason instanceof Error ? reason.message : String(reason)}`);
      setTimeout(() => {
        if (this.loadedFor === key) this.loadedFor = null;
      }, 5000);
    }
  }

  private async loadMore(): Promise<void> {
    const search = this.search;
    this.more.disabled = true;
    try {
      const runs = await this.backend.runs({ ...search, testerId: this.testerId, after: this.last, limit: page });
      if (this.disposed || search !== this.search) return;
      this.body.append(...runs.map((run) => this.row(run)));
      this.take(runs);
    } catch (reason) {
      setText(this.note, `Older runs cannot be loaded: ${reason instanceof Error ? reason.message : String(reason)}`);
    } finally {
      this.more.disabled = false;
    }
  }

  private take(runs: readonly RunSummary[]): void {
    this.last = runs.at(-1)?.id ?? null;
    setShown(this.more, runs.length === page);
  }

  private row(run: RunSummary): HTMLElement {
    const started = isReadable(run.startedAt) ? el('time', { datetime: run.startedAt, title: run.startedAt }, localTime(run.startedAt)) : 'not readable';
    return el(
      'tr',
      {},
      el('td', {}, el('a', { href: `#/run/${encodeURIComponent(run.id)}` }, started)),
      el('td', {}, standingElement(run), correctedWords(run.corrections), resumedWords(run.resumed), importedWords(run.importedFrom)),
      el('td', {}, pointOf(run.result, 'flash')),
      el('td', {}, pointOf(run.result, 'fire')),
      el('td', { class: 'free' }, run.specimen),
      el('td', {}, this.names.get(run.testerId) ?? run.testerId),
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

/** Behind a verdict: that the service had stopped in the middle of the run. */
export function resumedWords(resumed: number): string {
  return resumed === 0 ? '' : resumed === 1 ? ', taken up again' : `, taken up again ${resumed} times`;
}

/** Behind that: that the run was not made here. */
export function importedWords(importedFrom: string | null): string {
  return importedFrom === null ? '' : ', imported';
}

function runKey(tester: TesterOverview): string {
  return `${tester.id}:${tester.run?.id ?? ''}:${tester.run?.closedAt ?? ''}:${tester.run?.interrupted ?? ''}`;
}

/** How a run stands, in a word or two: what its colour follows, null for none, and what else there is to say of it. */
export interface Standing {
  readonly words: string;
  readonly kind: Verdict | 'damaged' | null;
  readonly title: string | null;
}

/** Damage goes before all: what else the record says of the run may be wrong. */
export function standingOf(run: RunSummary): Standing {
  if (run.damage !== null) return { words: '! Damaged', kind: 'damaged', title: `Cannot be read of its record: ${run.damage}` };
  if (run.result !== null) {
    const { verdict } = run.result;
    return { words: `${verdictWords[verdict].glyph} ${verdictWords[verdict].word}`, kind: verdict, title: null };
  }
  return { words: run.interrupted ? 'interrupted' : run.closedAt === null ? 'running' : 'no result', kind: null, title: null };
}

/** Whether a time of a run could be read; the service gives the year 1 for one that could not. */
export function isReadable(time: string): boolean {
  return !time.startsWith('0001-01-01T');
}

function standingElement(run: RunSummary): HTMLElement | string {
  const { words, kind, title } = standingOf(run);
  return kind === null ? words : el('span', { class: 'verdict-small', 'data-verdict': kind, title }, words);
}

function pointOf(result: RunResult | null, which: 'flash' | 'fire'): string {
  const point = result?.[which] ?? null;
  return point === null ? '–' : reported(point);
}
