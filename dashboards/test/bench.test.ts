import { describe, expect, it } from 'vitest';
import type { AmbientOverview, RunStatus } from '../src/contract';
import { benchFacts } from '../src/views/benchWords';
import { overviewFixture } from './fixtures';

const silent: RunStatus = {
  ...overviewFixture[0]!.status!, heaterFraction: null, stirrerRevolutionsPerMinute: null, stirring: null, lit: null, airMetresPerSecond: null, ambientCelsius: null,
};
const words = (status: Partial<RunStatus>, isDriven = false): readonly string[] => benchFacts({ ...silent, ...status }, isDriven).map(({ name, text }) => `${name}: ${text}`);

describe('what a tester tells of its bench', () => {
  it('is nothing where it tells nothing', () => {
    expect(words({})).toEqual([]);
  });

  it('is each figure with its unit', () => {
    expect(words({ stirrerRevolutionsPerMinute: 119.6, stirring: true, lit: true, airMetresPerSecond: 0.084, ambientCelsius: 23.44, heaterFraction: 0.372 })).toEqual([
      'Stirrer: 120 r/min', 'Test flame: burns', 'Air at the cup: 0.08 m/s', 'Room: 23.4 °C', 'Heater: 37 %',
    ]);
  });

  it('says in words that a stirrer stands or turns and that the test flame is out', () => {
    expect([{ stirring: true }, { stirring: false }, { stirring: false, stirrerRevolutionsPerMinute: 2 }].flatMap((status) => words(status))).toEqual(['Stirrer: turns', 'Stirrer: stands', 'Stirrer: stands (2 r/min)']);
    expect(words({ lit: false })).toEqual(['Test flame: ✕ is out']);
  });

  it('leaves the heater of a driven tester to its own panel', () => {
    expect(words({ heaterFraction: 0.4 }, true)).toEqual([]);
  });

  it('is no value of a shared source that is too old to be used', () => {
    const reading = { value: 0.08, secondsAgo: 90, stale: true };
    const room = { airMetresPerSecond: reading, ambientCelsius: { ...reading, value: 23.4, stale: false } } as AmbientOverview;
    expect(benchFacts({ ...silent, airMetresPerSecond: 0.08, ambientCelsius: 23.4 }, false, [room]).map(({ name }) => name)).toEqual(['Room']);
  });
});
