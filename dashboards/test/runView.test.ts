import { describe, expect, it } from 'vitest';
import { isOver, openRun, reduceRun, type RunMessage, type RunView } from '../src/state/runView';
import type { RunPlan } from '../src/contract';
import { phaseOfView } from '../src/views/statusWords';
import { stretch, summaryOf, update, updateFixture } from './fixtures';

const play = (view: RunView, ...messages: readonly RunMessage[]): RunView => messages.reduce(reduceRun, view);
const whole = (count: number): readonly number[] => Array.from({ length: count }, (_, i) => 60 + i);

describe('the view of a run', () => {
  it('holds everything after a late join', () => {
    const view = play(openRun('a'), { kind: 'update', update: update('a', [0, 4000], [0, 30]) });
    expect(view.curve.temperature).toEqual(whole(4000));
    expect(view.events.map((event) => event.atSeconds)).toEqual(Array.from({ length: 30 }, (_, i) => i));
    expect(view.mustAskAgain).toBe(false);
  });

  it('is loading until the stream has sent something, whatever the detail says', () => {
    const detail = play(openRun('a'), { kind: 'detail', detail: { summary: summaryOf('a'), plan: { hasFlameSignal: true } as RunPlan, events: [], thermometerSteps: [], statement: null, wireBytes: null, audit: { corrections: [], results: [], approvals: [], holds: [], onHold: false, originalResult: null, remark: null, approved: false, imports: [] } } });
    expect(phaseOfView(openRun('a'))).toBe('Loading');
    expect(phaseOfView(detail)).toBe('Loading');
    const begun = play(detail, { kind: 'update', update: update('a', [0, 0]) });
    expect(phaseOfView(begun)).toBe('Waiting for the first reading');
  });

  it('appends what is new to every column alike', () => {
    const view = play(openRun('a'), { kind: 'update', update: update('a', [0, 3]) }, { kind: 'update', update: update('a', [3, 2]) });
    const expected = stretch(0, 5);
    expect(view.curve).toEqual({
      time: expected.time,
      temperature: expected.temperature,
      detectorLow: expected.detectorLow,
      detectorHigh: expected.detectorHigh,
      flame: expected.flame,
      secondLow: Array(5).fill(null),
      secondHigh: Array(5).fill(null),
      hasSecond: false,
    });
  });

  it('keeps the columns of a second detector as long as the others, also where it came late or has fallen silent', () => {
    const withSecond = (from: number, length: number): RunMessage => {
      const told = update('a', [from, length]);
      return { kind: 'update', update: { ...told, curve: { ...told.curve, secondDetectorLow: told.curve.detectorLow.map((i) => 10 + i!), secondDetectorHigh: told.curve.detectorLow.map((i) => 11 + i!) } } };
    };
    const view = play(openRun('a'), { kind: 'update', update: update('a', [0, 2]) }, withSecond(1, 3), { kind: 'update', update: update('a', [4, 2]) });
    expect(view.curve.secondLow).toEqual([null, null, 12, 13, null, null]);
    expect(view.curve.secondHigh).toEqual([null, null, 13, 14, null, null]);
    expect(view.curve.hasSecond).toBe(true);
    expect(view.curve.time).toHaveLength(6);
  });

  it('keeps a missing reading as missing', () => {
    const view = play(openRun(updateFixture.summary.id), { kind: 'update', update: updateFixture });
    expect(view.curve.temperature).toEqual([60.01, null, 60.04, 60.06]);
    expect(view.curve.detectorLow[2]).toBeNull();
  });

  it('takes an overlap after a reconnection without a duplicate', () => {
    const view = play(openRun('a'), { kind: 'update', update: update('a', [0, 10], [0, 4]) }, { kind: 'update', update: update('a', [7, 6], [2, 5]) });
    expect(view.curve.temperature).toEqual(whole(13));
    expect(view.events.map((event) => event.atSeconds)).toEqual([0, 1, 2, 3, 4, 5, 6]);
  });

  it('ignores a stretch that came twice', () => {
    const first = play(openRun('a'), { kind: 'update', update: update('a', [0, 10], [0, 4]) });
    const again = play(first, { kind: 'update', update: update('a', [2, 5], [1, 2]) });
    expect(again.curve).toBe(first.curve);
    expect(again.events).toBe(first.events);
    expect(again.mustAskAgain).toBe(false);
  });

  it('never takes a stretch that would leave a hole, and asks again', () => {
    const first = play(openRun('a'), { kind: 'update', update: update('a', [0, 10], [0, 4]) });
    const holed = play(first, { kind: 'update', update: update('a', [12, 3], [4, 1]) });
    expect(holed.curve.temperature).toEqual(whole(10));
    expect(holed.mustAskAgain).toBe(true);
    const healed = play(holed, { kind: 'asked', runId: 'a' }, { kind: 'update', update: update('a', [10, 5], [5, 0]) });
    expect(healed.curve.temperature).toEqual(whole(15));
    expect(healed.mustAskAgain).toBe(false);
  });

  it('treats a hole in the events like one in the curve', () => {
    const view = play(openRun('a'), { kind: 'update', update: update('a', [0, 1], [3, 2]) });
    expect(view.events).toEqual([]);
    expect(view.mustAskAgain).toBe(true);
  });

  it('leaves messages about another run alone', () => {
    const first = play(openRun('a'), { kind: 'update', update: update('a', [0, 10]) });
    expect(play(first, { kind: 'update', update: update('b', [10, 10]) })).toBe(first);
    expect(play(first, { kind: 'failed', runId: 'b', text: 'gone' })).toBe(first);
  });

  it('starts empty when another run is opened, and stays when the same one is', () => {
    const first = play(openRun('a'), { kind: 'update', update: update('a', [0, 10]) });
    expect(play(first, { kind: 'opened', runId: 'a' })).toBe(first);
    expect(play(first, { kind: 'opened', runId: 'b' })).toEqual(openRun('b'));
  });

  it('starts the curve again when a restarted service has only its archive', () => {
    const before = play(openRun('a'), { kind: 'update', update: update('a', [0, 20], [0, 6]) });
    const after = play(before, { kind: 'update', update: update('a', [20, 0], [6, 0], { interrupted: true }) });
    expect(after.curve.time).toEqual([]);
    expect(after.mustAskAgain).toBe(true);
    const asked = play(after, { kind: 'asked', runId: 'a' }, { kind: 'update', update: update('a', [0, 17], [0, 5], { interrupted: true }) });
    expect(asked.curve.temperature).toEqual(whole(17));
    expect(asked.events).toHaveLength(5);
    expect(isOver(asked)).toBe(true);
  });

  it('forgets its trouble with the next update', () => {
    const view = play(openRun('a'), { kind: 'failed', runId: 'a', text: 'no answer' });
    expect(view.trouble).toBe('no answer');
    expect(play(view, { kind: 'update', update: update('a', [0, 1]) }).trouble).toBeNull();
  });

  it('changes nothing in place', () => {
    const first = Object.freeze(play(openRun('a'), { kind: 'update', update: update('a', [0, 3]) }));
    const length = first.curve.time.length;
    play(first, { kind: 'update', update: update('a', [3, 3]) });
    expect(first.curve.time).toHaveLength(length);
  });
});
