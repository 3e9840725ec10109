import { describe, expect, it } from 'vitest';
import type { NextRun, PortionStatus, PortionTest, RunStatus } from '../src/contract';
import { offerOrder, onOrder, takeOrder } from '../src/state/pendingOrder';
import { portionLine, testCells } from '../src/views/equilibriumWords';
import { guideLine, mayRecord } from '../src/views/guideWords';
import { nextWords } from '../src/views/nextRun';
import { howWords } from '../src/views/startAim';
import { overviewFixture } from './fixtures';
import iso2592 from '../../src/Acquire.Core/Methods/Data/iso-2592-2017.json';
import iso2719 from '../../src/Acquire.Core/Methods/Data/iso-2719-2016-a.json';

const portions: PortionStatus = {
  portionNumber: 3, setCelsius: 61, toleranceCelsius: 0.5, millilitres: 2, waitSeconds: 60, secondsToSteady: null, secondsToApplication: null, spoiled: null, tests: [],
};
const status = (phase: RunStatus['phase'], more: Partial<PortionStatus> = {}): RunStatus => ({
  ...overviewFixture[0]!.status!, phase, burningSeconds: null, thermometerMarks: [], temperatureCelsius: 61, promptNumber: null, portions: { ...portions, ...more },
});
const test: PortionTest = { number: 2, setCelsius: 65, millilitres: 2, chargedSeconds: 100, appliedSeconds: 160, appliedCelsius: 65.1, outcome: 'flash', spoiled: null, flashed: true, counts: true };

describe('an equilibrium run', () => {
  it('says what to do in each stage', () => {
    expect(portionLine(status('setting-temperature'), true)).toMatchObject({ stage: 'set', text: 'The block is brought to 61.0 °C' });
    expect(portionLine(status('applying-test-flame'), true)).toMatchObject({ stage: 'apply', text: 'The test flame is applied now' });
    expect(portionLine(status('setting-temperature'))).toMatchObject({ stage: 'set', text: 'Set the block to 61.0 °C' });
    expect(portionLine(status('setting-temperature', { secondsToSteady: 41.2 }))?.detail).toContain('Steady for 42 s more');
    expect(portionLine(status('awaiting-portion'))).toMatchObject({ stage: 'charge', text: 'Charge portion 3: 2.0 mL' });
    expect(portionLine(status('portion-waiting', { secondsToApplication: 12.4 }))).toMatchObject({ stage: 'wait', text: 'Wait 13 s' });
    expect(portionLine(status('applying-test-flame'))).toMatchObject({ stage: 'apply' });
    expect(portionLine(status('clearing-cup'))?.text).toBe('Clean the cup; set 61.0 °C');
    expect(portionLine(status('cooling'))).toMatchObject({ stage: 'over' });
    expect(portionLine({ ...status('ready'), portions: null })).toBeNull();
  });

  it('keeps the flame away from a portion that does not count', () => {
    expect(portionLine(status('portion-waiting', { spoiled: 'charged-too-hot', secondsToApplication: 5 }))?.detail).toContain('keep the flame away');
  });

  it('takes what was seen only while a portion waits, and burning at any time', () => {
    expect(mayRecord('flash', status('portion-waiting'))).toBe(true);
    expect(mayRecord('nothing', status('applying-test-flame'))).toBe(true);
    expect(mayRecord('nothing', status('clearing-cup'))).toBe(false);
    expect(mayRecord('burning', status('clearing-cup'))).toBe(true);
    expect(guideLine(status('awaiting-portion'), true)).toMatchObject({ kind: 'wait', text: 'Charge portion 3: 2.0 mL' });
  });

  it('shows each test with what it is worth', () => {
    expect(testCells(test)).toEqual(['2', '65.0 °C', '65.1 °C', 'flash', 'counts']);
    expect(testCells({ ...test, appliedCelsius: null, outcome: 'halo', spoiled: 'wait-too-short' })).toEqual(['2', '65.0 °C', 'not read', 'halo, no flash', 'wait too short']);
  });
});

describe('a scouting run', () => {
  const next: NextRun = { methodId: 'iso-2719-2016-a', expectedFlashCelsius: 131, startAtMostCelsius: 113, firstApplicationCelsius: 108, intervalCelsius: 2, heatingCelsiusPerMinute: { from: 5, to: 6 }, variant: 'above 110 °C' };

  it('says how the next run begins', () => {
    expect(nextWords(next)).toContain('fresh test portion at or below 113 °C and expect 131 °C: first application at 108 °C, then every 2.0 °C');
    expect(nextWords(next)).toContain('above 110 °C');
    expect(nextWords({ ...next, variant: null })).not.toContain('figures of the method');
  });

  it('says how it goes, with its caution', () => {
    expect(howWords(iso2592)).toContain('Start at 50 °C or below');
    expect(howWords(iso2719)).toContain('Start between 10 and 20 °C');
    expect(howWords(iso2592)).toContain('do not heat after a flash');
  });

  it('hands its order to the form of its tester, once', () => {
    let called = 0;
    onOrder('north', () => called++);
    offerOrder('north', { next, specimen: 'Oil' });
    offerOrder('south', { next, specimen: 'Oil' });
    expect(called).toBe(1);
    expect(takeOrder('north')).toMatchObject({ specimen: 'Oil' });
    expect(takeOrder('north')).toBeNull();
  });
});
