import { describe, expect, it } from 'vitest';
import type { ContributionDistribution, RunDetail, RunStatement, UncertaintyRow } from '../src/contract';
import { openRun, reduceRun, type RunView } from '../src/state/runView';
import { budgetCells, budgetSums, pointSentence, statesUncertainty, valueNote } from '../src/views/statementWords';
import serviceDetail from './fixtures/service-run-detail.json';

const detail = serviceDetail as unknown as RunDetail;
const table = detail.statement!.flash.uncertainty!;
const row = (more: Partial<UncertaintyRow>): UncertaintyRow => ({ ...table.rows[0]!, ...more });
const viewOf = (statement: RunStatement | null): RunView => reduceRun(openRun(detail.summary.id), { kind: 'detail', detail: { ...detail, statement } });

describe('what may be stated about a point', () => {
  it('is the sentence of the service, or its reason where nothing can be reported', () => {
    expect(pointSentence(viewOf(detail.statement), 'flash')).toBe(detail.statement!.flash.statement);
    expect(pointSentence(viewOf(detail.statement), 'fire')).toBe(detail.statement!.fire!.cannotReport);
  });

  it('is nothing yet before the detail of the closed run is here', () => {
    expect(pointSentence(openRun('a'), 'flash')).toBe('What may be stated has not come from the service yet.');
  });

  it('is not claimed where the service states nothing, and named where the method determines none', () => {
    expect(pointSentence(viewOf(null), 'flash')).toBeNull();
    expect(pointSentence(viewOf({ ...detail.statement!, fire: null }), 'fire')).toBe('The method determines none.');
  });

  it('comes with the caution only where an uncertainty is shown', () => {
    const none = detail.statement!.fire!;
    expect([detail.statement, { flash: none, fire: detail.statement!.flash }, { flash: none, fire: none }, { flash: none, fire: null }, null].map(statesUncertainty)).toEqual([true, true, false, false, false]);
  });
});

describe('a budget', () => {
  it('shows each line with its unit and its share', () => {
    expect(table.rows.map(budgetCells)).toEqual([
      ['application interval', '1\u00a0°C', 'rectangular', '0.577', '80.0'],
      ['rounding', '0.5\u00a0°C', 'rectangular', '0.289', '20.0'],
    ]);
  });

  it('shows nothing as zero that is not', () => {
    expect(budgetCells(row({ value: 0.00025, unit: '°C/kPa', standardCelsius: 0.0002, sharePercent: 0.01 }))).toEqual([
      'application interval', '0.00025 °C/kPa', 'rectangular', '<\u00a00.001', '<\u00a00.1',
    ]);
    expect(budgetCells(row({ value: 0, standardCelsius: 0, sharePercent: 0 })).slice(1)).toEqual(['0\u00a0°C', 'rectangular', '0.000', '0.0']);
  });

  it('adds up to the figures of the service', () => {
    expect(budgetSums(table).map(([, value]) => value)).toEqual(['0.645\u00a0°C', 'not limited', '1.96', '1.265\u00a0°C']);
    expect(budgetSums({ ...table, effectiveDegreesOfFreedom: 12.9 })[1]).toEqual(['Effective degrees of freedom', '12']);
    expect(budgetSums({ ...table, effectiveDegreesOfFreedom: 11.9999999999 })[1]![1]).toBe('12');
  });

  it('says how to read the values that are in it, and shows a word it does not know as it came', () => {
    expect(valueNote(table.rows)).toBe('Value: half-width for rectangular.');
    expect(valueNote([row({ distribution: 'normal' }), row({ distribution: 'standard' })])).toBe('Value: expanded uncertainty for normal, the deviation itself for standard deviation.');
    for (const word of ['u-shaped', 'constructor'] as unknown as readonly ContributionDistribution[]) {
      expect(budgetCells(row({ distribution: word }))[2]).toBe(word);
      expect(valueNote([row({ distribution: word })])).toBe('');
    }
  });
});
