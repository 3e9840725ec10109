import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Backend, RunReader } from '../src/backend';
import type { RunDetail, RunUpdate } from '../src/contract';
import { RunFollower } from '../src/state/runFollower';
import serviceDetail from './fixtures/service-run-detail.json';

const closed = serviceDetail as unknown as RunDetail;
const open: RunDetail = { ...closed, summary: { ...closed.summary, closedAt: null, result: null }, statement: null };
const closing: RunUpdate = { curve: { from: 0, time: [], temperature: [], detectorLow: [], detectorHigh: [], flame: [], secondDetectorLow: null, secondDetectorHigh: null }, eventsFrom: 0, events: [], status: null, summary: closed.summary };

/** A service that answers each question for the detail with the next of these; an error is thrown. The last one is kept. */
function watched(...answers: readonly (RunDetail | Error)[]) {
  let reader: RunReader | null = null;
  let asked = 0;
  const run = (): Promise<RunDetail> => {
    const answer = answers[Math.min(asked++, answers.length - 1)]!;
    return answer instanceof Error ? Promise.reject(answer) : Promise.resolve(answer);
  };
  const follow = (one: RunReader): (() => void) => {
    reader = one;
    return () => undefined;
  };
  const follower = new RunFollower({ run, follow } as Partial<Backend> as Backend, closed.summary.id, () => undefined);
  return { follower, asked: () => asked, update: (update: RunUpdate) => reader!.update(update) };
}

const later = (milliseconds: number): Promise<unknown> => vi.advanceTimersByTimeAsync(milliseconds);

describe('a run that is watched', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  it('is asked for its detail once while it is open, and once more when it closes', async () => {
    const { follower, asked, update } = watched(open, closed);
    await later(60_000);
    expect([asked(), follower.view.statement, follower.view.detailIsFinal]).toEqual([1, null, false]);
    update(closing);
    await later(0);
    expect(follower.view.statement).toEqual(closed.statement);
    update(closing);
    await later(60_000);
    expect([asked(), follower.view.detailIsFinal]).toEqual([2, true]);
  });

  it('is asked again while the archive is behind the stream, and while the service does not answer', async () => {
    const { follower, asked, update } = watched(open, open, new Error('no answer'), closed);
    await later(0);
    update(closing);
    await later(0);
    expect([asked(), follower.view.statement]).toEqual([2, null]);
    await later(1000);
    expect([asked(), follower.view.statement, follower.view.trouble]).toEqual([3, null, null]);
    await later(2000);
    expect([asked(), follower.view.statement]).toEqual([4, closed.statement]);
  });

  it('takes no answer for final that left before the run closed', async () => {
    const { follower, asked, update } = watched(open, closed);
    update(closing);
    await later(0);
    expect([asked(), follower.view.detailIsFinal]).toEqual([1, false]);
    await later(1000);
    expect([asked(), follower.view.statement]).toEqual([2, closed.statement]);
  });

  it('is asked once where it is over already, also where it was interrupted and states nothing', async () => {
    const past = watched(closed);
    const broken = watched({ ...open, summary: { ...open.summary, interrupted: true } });
    await later(60_000);
    expect([past.asked(), past.follower.view.statement]).toEqual([1, closed.statement]);
    expect([broken.asked(), broken.follower.view.statement, broken.follower.view.detailIsFinal]).toEqual([1, null, true]);
  });

  it('is asked nothing more when nobody watches it', async () => {
    const { follower, asked } = watched(new Error('no answer'));
    await later(0);
    expect(follower.view.trouble).toBe('no answer');
    follower.stop();
    await later(60_000);
    expect(asked()).toBe(1);
  });
});
