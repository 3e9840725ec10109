import { describe, expect, it } from 'vitest';
import { conditionOf, noTesters, reduceTesters, silentSeconds, stateOf, type TestersView } from '../src/state/testersView';
import { joinAlarms } from '../src/views/alarmList';
import { troubleWords } from '../src/views/condition';
import { overviewFixture } from './fixtures';

const north = overviewFixture[0]!;
const west = overviewFixture[1]!;
const received: TestersView = reduceTesters(noTesters, { kind: 'overview', testers: overviewFixture, at: 1000 });

describe('a tester at a glance', () => {
  it('looks different in each condition', () => {
    const words = [
      conditionOf(north, 0.2),
      conditionOf(north, 60),
      conditionOf(north, null),
      conditionOf({ ...north, connection: 'connecting' }, null),
      conditionOf(west, null),
    ];
    expect(words).toEqual(['live', 'stale', 'no-data', 'connecting', 'source-down']);
  });

  it('is stale as soon as the service says so', () => {
    const alarmed = { ...north, alarms: [{ code: 'stream-stale', text: '', since: '' }] };
    expect(conditionOf(alarmed, 0.2)).toBe('stale');
  });

  it('ages while no overview comes', () => {
    expect(stateOf(north, received, 3000)).toEqual({ condition: 'live', age: 2.2 });
  });

  it('claims nothing once the page itself is cut off', () => {
    const lost = reduceTesters(received, { kind: 'link', link: 'lost' });
    expect(stateOf(north, lost, 1500).condition).toBe('no-news');
  });

  it('counts what went wrong and repeats the last refusal', () => {
    expect(troubleWords(west)).toBe('17 refused · queue full 2 times · last refusal: line 12: <b>temperature</b> is not a number');
    expect(troubleWords(north)).toBe('');
  });
});

describe('the line to the service', () => {
  it('is silent when lost or when no overview came for long', () => {
    expect(silentSeconds(received, 2000)).toBeNull();
    expect(silentSeconds(received, 9000)).toBe(8);
    expect(silentSeconds(reduceTesters(received, { kind: 'link', link: 'lost' }), 2000)).toBe(1);
  });

  it('keeps the last overview while lost', () => {
    expect(reduceTesters(received, { kind: 'link', link: 'lost' }).testers).toBe(overviewFixture);
  });
});

describe('alarms of a run and of its tester', () => {
  it('appear once each', () => {
    const joined = joinAlarms([{ code: 'a', text: 'first' }], [{ code: 'a', text: 'second' }, { code: 'b', text: 'other' }]);
    expect(joined).toEqual([{ code: 'a', text: 'first' }, { code: 'b', text: 'other' }]);
  });
});
