import type { ContributionDistribution, PointStatement, RunStatement, UncertaintyRow, UncertaintyTable } from '../contract';
import { fixedOrLess, figure, fixed } from '../format';
import type { RunView } from '../state/runView';

export type PointName = 'flash' | 'fire';

/** Shown beside any stated uncertainty: a person may be about to put it on a certificate. */
export const statementCaution =
  'An uncertainty is only as good as the figures that the laboratory stated for it, and holds nothing that is left out. The method’s own precision statement rules.';

/** What may be stated about a point, in one sentence; null where the service says nothing of it. */
export function pointSentence(view: RunView, point: PointName): string | null {
  if (!view.detailIsFinal) return 'What may be stated has not come from the service yet.';
  if (view.statement === null) return null;
  const of = view.statement[point];
  if (of === null) return 'The method determines none.';
  return of.statement ?? of.cannotReport;
}

/** The statement about a point; null where there is none. */
export function pointStatement(statement: RunStatement | null, point: PointName): PointStatement | null {
  return statement === null ? null : statement[point];
}

/** True where an uncertainty is stated of any point. */
export function statesUncertainty(statement: RunStatement | null): boolean {
  return (['flash', 'fire'] as const).some((point) => pointStatement(statement, point)?.uncertainty != null);
}

const distributions: Record<ContributionDistribution, { readonly word: string; readonly reads: string }> = {
  normal: { word: 'normal', reads: 'expanded uncertainty for normal' },
  rectangular: { word: 'rectangular', reads: 'half-width for rectangular' },
  triangular: { word: 'triangular', reads: 'half-width for triangular' },
  standard: { word: 'standard deviation', reads: 'the deviation itself for standard deviation' },
};

/** One line of a budget in words: contribution, value with unit, distribution, standard uncertainty in °C, share in %. */
export function budgetCells(row: UncertaintyRow): readonly [string, string, string, string, string] {
  // A long unit may go below its figure where the table is narrow; °C never does.
  const space = row.unit.length > 2 ? ' ' : '\u00a0';
  return [row.name, `${figure(row.value)}${space}${row.unit}`, wordOf(row.distribution), fixedOrLess(row.standardCelsius, 3), fixedOrLess(row.sharePercent, 1)];
}

/** How the values of a table are to be read, for the distributions that are in it. */
export function valueNote(rows: readonly UncertaintyRow[]): string {
  const used = [...new Set(rows.map((row) => row.distribution))].filter((one) => Object.hasOwn(distributions, one));
  return used.length === 0 ? '' : `Value: ${used.map((one) => distributions[one].reads).join(', ')}.`;
}

/** What the lines amount to. */
export function budgetSums(table: UncertaintyTable): readonly (readonly [string, string])[] {
  const degrees = table.effectiveDegreesOfFreedom;
  return [
    ['Combined standard uncertainty', `${fixed(table.combinedCelsius, 3)}\u00a0°C`],
    // Rounded down, as the statement and the tables of Student's t have it; the little added keeps a whole number whole.
    ['Effective degrees of freedom', degrees === null ? 'not limited' : String(Math.floor(degrees + 1e-9))],
    ['Coverage factor for 95\u00a0%', fixed(table.coverageFactor, 2)],
    ['Expanded uncertainty', `${fixed(table.expandedCelsius, 3)}\u00a0°C`],
  ];
}

// A word that this page does not know is shown as it came.
function wordOf(distribution: ContributionDistribution): string {
  return Object.hasOwn(distributions, distribution) ? distributions[distribution].word : distribution;
}
