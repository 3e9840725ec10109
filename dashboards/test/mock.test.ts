import { describe, expect, it } from 'vitest';
import d92 from '../../src/Acquire.Core/Methods/Data/astm-d92-18.json';
import { DrivenTester } from '../mock/drivenTester';
import { mockFeed } from '../mock/feed';
import { PlayedRun, type Part } from '../mock/playedRun';
import { testersNow } from '../mock/testers';
import type { MethodDefinition, RunDetail } from '../src/contract';
import { overview, update } from './contractShapes';
import { chain } from './thermometerShapes';
import { figures, statement as stated } from './uncertaintyShapes';

const annexAt = (at: number): PlayedRun =>
  new PlayedRun(`annex-${at}`, { testerId: 'annex', specimen: 'Hydraulic oil, lot 22', expected: 206, pressure: 100.1, startedAgo: at, at, speed: 1 }, d92, 8);

describe('the mock feed', () => {
  it('sends what the contract says', () => {
    const run = annexAt(525);
    const testers = testersNow((id) => (id === 'annex' ? run : undefined), new DrivenTester(true).overview);
    for (const tester of testers) overview(JSON.parse(JSON.stringify(tester)), tester.id);
    update(JSON.parse(JSON.stringify(run.since(0, 0))), 'update');
    chain(JSON.parse(JSON.stringify(run.detail.plan.thermometer)), 'chain');
    expect(run.detail.statement).toBeNull();
    expect(testers.map((tester) => tester.thermometer.calibration)).toEqual(['valid', null, 'due-soon', 'overdue', 'not-yet-valid', null, null]);
  });

  it('opens a thermometer for some seconds: no temperature, the last sound one kept, the alarm over three seconds later', () => {
    const [before, open, after, later] = [515, 525, 533, 540].map(annexAt);
    expect(before!.status?.thermometerMarks).toEqual([]);
    expect(open!.status?.thermometerMarks).toEqual(['open-circuit']);
    expect(open!.since(0, 0).curve.temperature.at(-1)).toBeNull();
    expect(open!.status?.temperatureCelsius).toBeLessThan(after!.status!.temperatureCelsius!);
    expect([before, open, after, later].map((run) => run!.alarms.map((alarm) => alarm.code))).toEqual([[], ['thermometer-open-circuit'], ['thermometer-open-circuit'], []]);
  });

  const closed = (testerId: string, more: Partial<Part> = {}): RunDetail => {
    const run = new PlayedRun(testerId, { testerId, specimen: 'Base oil', expected: 222, pressure: 97.3, startedAgo: 86_400, at: 99_999, speed: 1, ...more }, d92 as MethodDefinition, 8);
    figures(JSON.parse(JSON.stringify(run.detail.plan.figures)), testerId);
    stated(JSON.parse(JSON.stringify(run.detail.statement)), testerId);
    return run.detail;
  };

  it('states the points of a closed run as the contract says, with shares that add up', () => {
    for (const { statement } of [closed('north'), closed('west')]) {
      for (const table of [statement!.flash.uncertainty!, statement!.fire!.uncertainty!]) {
        expect(table.rows.reduce((sum, row) => sum + row.sharePercent, 0)).toBeCloseTo(100, 9);
        expect(table.expandedCelsius).toBeCloseTo(table.combinedCelsius * table.coverageFactor, 9);
      }
    }
    expect(closed('north').statement!.flash.uncertainty!.rows.length).toBeGreaterThan(closed('west').statement!.flash.uncertainty!.rows.length);
  });

  it('says why there is no fire point where the heat was turned off', () => {
    const { summary, statement } = closed('south', { endsBeforeFire: true, pressure: null });
    expect(summary.result!.fire).toBeNull();
    expect(statement!.fire).toEqual({ statement: null, cannotReport: 'No fire point can be reported: the longest burn lasted 0 s of the 5 s needed.', uncertainty: null });
  });

  it('refuses a pressure where the service does, at the same field', async () => {
    const start = (stationPressure: string) =>
      mockFeed({ at: 0, speed: 1, lostAfter: null, tripped: false }).start('spare', { methodId: 'astm-d92-18', expectedFlashCelsius: 220, stationPressureKilopascals: null, specimen: 'Oil', stationPressure, material: null, scouting: false, specificationCelsius: null, fineStep: false });
    expect(await start('97.3 hPa')).toMatchObject({ kind: 'refused', errors: [{ path: 'stationPressure' }] });
    expect(await start('730 mmHg')).toMatchObject({ kind: 'started' });
  });
});
