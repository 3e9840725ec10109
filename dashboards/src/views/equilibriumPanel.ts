import type { Backend } from '../backend';
import type { PortionTest, RunStatus } from '../contract';
import { el, setAttribute, setShown, setText } from '../dom';
import { plain } from '../format';
import { isOver, type RunView } from '../state/runView';
import { portionLine, testCells } from './equilibriumWords';

/** Leads through an equilibrium run: set the block, charge, wait, apply once, clean; with the tests so far. */
export class EquilibriumPanel {
  private readonly text = el('strong', { class: 'portions-text', 'data-testid': 'portions-text' });
  private readonly detail = el('span', { class: 'portions-detail' });
  private readonly volume = el('input', { inputmode: 'decimal', autocomplete: 'off', id: 'portion-volume', size: '5', 'data-testid': 'portion-volume' });
  private readonly charged = el('button', { type: 'button', class: 'primary', 'data-testid': 'portion-charged', onclick: () => void this.charge() }, 'Charged');
  private readonly note = el('p', { class: 'portions-note', role: 'status' });
  private readonly actions = el('div', { class: 'portions-actions' }, el('label', { for: 'portion-volume' }, 'Volume, mL (may be empty)'), this.volume, this.charged, this.note);
  private readonly tests = el('div', { class: 'portions-tests' });
  readonly element: HTMLElement;
  private shownTests: readonly PortionTest[] | null = null;
  private proposed = '';
  private waiting = false;

  constructor(
    private readonly backend: Backend,
    private readonly runId: string,
  ) {
    this.element = el(
      'section',
      { class: 'portions panel', 'aria-label': 'Fresh test portions', hidden: true },
      el('p', { class: 'portions-line', role: 'status', 'aria-live': 'assertive' }, this.text, this.detail),
      el('p', { class: 'portions-caution' }, 'Open flame, hot block. A fresh portion each time; never charge a cup that is hotter than its set temperature, was not cleaned, or stands far above the flash point: the portion can burn in the cup.'),
      this.actions,
      this.tests,
    );
  }

  render(view: RunView, live: boolean): void {
    const over = isOver(view);
    const driven = view.plan?.mode === 'driven';
    const tests = view.status?.portions?.tests ?? view.summary?.result?.equilibrium?.tests ?? null;
    setShown(this.element, tests !== null);
    if (tests === null) return;
    const line = over ? null : portionLine(view.status, driven);
    setAttribute(this.element, 'data-stage', line?.stage ?? 'over');
    setText(this.text, over ? 'Tests' : !live ? 'No news from the tester' : (line?.text ?? ''));
    setText(this.detail, over ? '' : !live ? 'What is shown is old. Look at the tester; do not charge by this page.' : (line?.detail ?? ''));
    setShown(this.actions, !over && line?.stage !== 'over');
    this.charged.disabled = this.waiting || !live || !mayCharge(view.status, driven);
    this.propose(view.status?.portions?.millilitres ?? null);
    if (tests.length !== this.shownTests?.length) this.renderTests(tests);
  }

  // The method's volume stands in the field until the person writes another.
  private propose(millilitres: number | null): void {
    if (millilitres === null || this.proposed === plain(millilitres)) return;
    if (this.volume.value === this.proposed) this.volume.value = plain(millilitres);
    this.proposed = plain(millilitres);
  }

  private renderTests(tests: readonly PortionTest[]): void {
    this.shownTests = tests;
    const head = ['Test', 'Set', 'Read', 'Seen', 'Counts'].map((name) => el('th', { scope: 'col' }, name));
    const rows = tests.map((test) => el('tr', { 'data-outcome': test.outcome, 'data-counts': String(test.counts) }, ...testCells(test).map((cell) => el('td', {}, cell))));
    this.tests.replaceChildren(tests.length === 0 ? el('p', { class: 'quiet' }, 'No test yet.') : el('table', { 'data-testid': 'portion-tests' }, el('thead', {}, el('tr', {}, ...head)), el('tbody', {}, ...rows)));
  }

  private async charge(): Promise<void> {
    const typed = this.volume.value.trim().replace(',', '.');
    const millilitres = typed === '' ? null : Number(typed);
    if (millilitres !== null && !Number.isFinite(millilitres)) {
      setText(this.note, 'The volume is not a number. Write it like 2 or 2.05, or leave it empty.');
      return;
    }
    this.waiting = true;
    this.charged.disabled = true;
    try {
      const outcome = await this.backend.charge(this.runId, millilitres);
      setText(this.note, outcome.kind === 'recorded' ? 'Charged. The wait runs.' : outcome.text);
    } catch (reason) {
      setText(this.note, `${reason instanceof Error ? reason.message : String(reason)} Look at the log of the run whether it was recorded.`);
    } finally {
      this.waiting = false;
    }
  }
}

// A driven run applies no flame to a portion that does not count, nor to one that has waited too long: only a fresh one goes on.
function mayCharge(status: RunStatus | null, driven: boolean): boolean {
  if (status === null) return false;
  return status.phase === 'awaiting-portion' || (driven && (status.phase === 'applying-test-flame' || (status.phase === 'portion-waiting' && (status.portions?.spoiled ?? null) !== null)));
}
