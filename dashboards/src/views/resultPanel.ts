import type { DeterminedPoint, Finding, RunResult } from '../contract';
import { el, type Child } from '../dom';
import { celsius, fixed, plain, runTime } from '../format';
import type { RunView } from '../state/runView';
import { verdictWords } from '../words';
import { nextRun } from './nextRun';
import { pointSentence, pointStatement, statementCaution, statesUncertainty, type PointName } from './statementWords';
import { uncertaintyBudget } from './uncertaintyBudget';

/** What a closed run says: the verdict, both points with their corrections and uncertainties, and the reasons. */
export function resultPanel(view: RunView): HTMLElement {
  const result = view.summary?.result ?? null;
  const head = el('p', { class: 'result-phase', 'data-testid': 'phase' }, view.summary?.interrupted === true ? 'Interrupted' : 'Closed');
  if (result === null) return el('section', { class: 'result panel', 'data-verdict': 'none' }, head, ...withoutResult(view));
  const words = verdictWords[result.verdict];
  return el(
    'section',
    { class: 'result panel', 'data-verdict': result.verdict },
    head,
    el('p', { class: 'verdict', 'data-testid': 'verdict' }, el('span', { class: 'verdict-sign', 'aria-hidden': 'true' }, words.glyph), words.word),
    el('p', { class: 'quiet' }, words.meaning),
    point(view, 'flash', result.flash),
    point(view, 'fire', result.fire),
    nextRun(view),
    statesUncertainty(view.statement) ? el('p', { class: 'statement-caution' }, statementCaution) : null,
    el('p', { class: 'pressure' }, pressureLine(result)),
    ...reasons(result),
  );
}

function withoutResult(view: RunView): readonly Child[] {
  const why =
    view.summary?.interrupted === true
      ? (view.events.findLast((event) => event.kind === 'run-interrupted')?.text ?? 'The service ended before the run was closed. What had been archived is shown; there is no result.')
      : 'The record is closed without a result.';
  return [el('p', { class: 'verdict', 'data-testid': 'verdict' }, 'No result'), el('p', {}, why)];
}

function point(view: RunView, which: PointName, value: DeterminedPoint | null): HTMLElement {
  const [name, testId] = which === 'flash' ? ['Flash point', 'flash-point'] : ['Fire point', 'fire-point'];
  const reported = value?.reportedCelsius ?? null;
  const sentence = pointSentence(view, which);
  const table = pointStatement(view.statement, which)?.uncertainty ?? null;
  return el(
    'div',
    { class: `point ${testId}` },
    el('h3', {}, reported === null ? name : `${name}, reported`),
    reported === null
      ? el('p', { class: 'point-none', 'data-testid': testId }, value === null ? 'none stated' : 'not to be reported')
      : el('p', { class: 'point-value', 'data-testid': testId }, el('span', { class: 'figure' }, plain(reported)), el('span', { class: 'unit' }, '\u00a0°C')),
    value === null ? null : howDetermined(value),
    sentence === null ? null : el('p', { class: 'point-statement', 'data-testid': `${testId}-statement` }, sentence),
    table === null ? null : uncertaintyBudget(table, name.toLowerCase()),
  );
}

function howDetermined(value: DeterminedPoint): HTMLElement {
  return el(
    'dl',
    { class: 'point-how' },
    el('div', {}, el('dt', {}, 'observed'), el('dd', {}, celsius(value.observedCelsius))),
    el('div', {}, el('dt', {}, 'corrected'), el('dd', {}, celsius(value.correctedCelsius, 2))),
    el('div', {}, el('dt', {}, 'at run time'), el('dd', {}, runTime(value.timeSeconds))),
  );
}

function pressureLine(result: RunResult): string {
  const assumed = result.findings.some((finding) => finding.code === 'pressure-assumed');
  return `Station pressure ${fixed(result.stationKilopascals, 1)} kPa${assumed ? ', assumed: nobody gave it' : ''}`;
}

/** The findings that lowered the verdict; the heaviest first, in order of time. */
function reasons(result: RunResult): readonly Child[] {
  const counted = (weight: Finding['weight']): readonly Finding[] => result.findings.filter((finding) => finding.weight === weight);
  const lowering = [...counted('invalid'), ...counted('doubtful')];
  if (lowering.length === 0) return [];
  return [
    el('h3', {}, lowering.length === 1 ? 'Reason' : 'Reasons'),
    el('ol', { class: 'reasons' }, ...lowering.map((finding) => el('li', { 'data-weight': finding.weight }, finding.text))),
  ];
}
