import { describe, expect, it } from 'vitest';
import d92 from '../../src/Acquire.Core/Methods/Data/astm-d92-18.json';
import { PlayedRun } from '../mock/playedRun';
import { testersNow } from '../mock/testers';
import { overview, update } from './contractShapes';
import { chain } from './thermometerShapes';

const annexAt = (at: number): PlayedRun =>
  new PlayedRun(`annex-${at}`, { testerId: 'annex', specimen: 'Hydraulic oil, lot 22', expected: 206, pressure: 100.1, startedAgo: at, at, speed: 1 }, d92, 8);

describe('the mock feed', () => {
  it('sends what the contract says', () => {
    const run = annexAt(525);
    const testers = testersNow((id) => (id === 'annex' ? run : undefined));
    for (const tester of testers) overview(JSON.parse(JSON.stringify(tester)), tester.id);
    update(JSON.parse(JSON.stringify(run.since(0, 0))), 'update');
    chain(JSON.parse(JSON.stringify(run.detail.plan.thermometer)), 'chain');
    expect(testers.map((tester) => tester.thermometer.calibration)).toEqual(['valid', 'due-soon', 'overdue', 'not-yet-valid', null, null]);
  });

  it('opens a thermometer for some seconds: no temperature, the last sound one kept, the alarm over three seconds later', () => {
    const [before, open, after, later] = [515, 525, 533, 540].map(annexAt);
    expect(before!.status?.thermometerMarks).toEqual([]);
    expect(open!.status?.thermometerMarks).toEqual(['open-circuit']);
    expect(open!.since(0, 0).curve.temperature.at(-1)).toBeNull();
    expect(open!.status?.temperatureCelsius).toBeLessThan(after!.status!.temperatureCelsius!);
    expect([before, open, after, later].map((run) => run!.alarms.map((alarm) => alarm.code))).toEqual([[], ['thermometer-open-circuit'], ['thermometer-open-circuit'], []]);
  });
});
