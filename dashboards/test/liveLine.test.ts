import { describe, expect, it } from 'vitest';
import { backoff, longestWait } from '../src/service/backoff';
import { LiveLine, type Hub, type Later } from '../src/service/liveLine';
import { isOver, openRun, reduceRun, type RunView } from '../src/state/runView';
import type { RunUpdate } from '../src/contract';
import { update } from './fixtures';

interface Stream {
  readonly name: string;
  readonly args: readonly unknown[];
  readonly to: { next(item: unknown): void; error(reason: unknown): void; complete(): void };
  disposed: boolean;
}

class FakeHub implements Hub {
  readonly streams: Stream[] = [];
  private closed: () => void = () => undefined;
  constructor(private readonly reachable: boolean) {}
  start(): Promise<void> {
    return this.reachable ? Promise.resolve() : Promise.reject(new Error('refused'));
  }
  stop(): Promise<void> {
    this.closed();
    return Promise.resolve();
  }
  onclose(then: () => void): void {
    this.closed = then;
  }
  stream<T>(name: string, ...args: unknown[]): { subscribe(to: { next(item: T): void; error(reason: unknown): void; complete(): void }): { dispose(): void } } {
    return {
      subscribe: (to) => {
        const stream: Stream = { name, args, to: to as Stream['to'], disposed: false };
        this.streams.push(stream);
        return { dispose: () => void (stream.disposed = true) };
      },
    };
  }
  runStreams(): readonly Stream[] {
    return this.streams.filter((stream) => stream.name === 'Run');
  }
}

/** A world with a clock that is turned by hand. */
function world(reachable: readonly boolean[]) {
  const hubs: FakeHub[] = [];
  const timers: { at: number; then: () => void; off: boolean }[] = [];
  const links: string[] = [];
  let now = 0;
  const later: Later = (milliseconds, then) => {
    const timer = { at: now + milliseconds, then, off: false };
    timers.push(timer);
    return () => void (timer.off = true);
  };
  const connect = (): Hub => {
    const hub = new FakeHub(reachable[hubs.length] ?? true);
    hubs.push(hub);
    return hub;
  };
  const line = new LiveLine(connect, { overview: () => undefined, link: (state) => links.push(state) }, later, () => 0.5);
  let view: RunView = openRun('a');
  const failures: string[] = [];
  const follow = (): (() => void) =>
    line.follow({
      runId: 'a',
      held: () => {
        view = reduceRun(view, { kind: 'asked', runId: 'a' });
        return { points: view.curve.time.length, events: view.events.length };
      },
      update: (item: RunUpdate) => {
        view = reduceRun(view, { kind: 'update', update: item });
        return !view.mustAskAgain;
      },
      isOver: () => isOver(view),
      failed: (text) => failures.push(text),
    });
  const turn = async (milliseconds: number): Promise<void> => {
    const until = now + milliseconds;
    for (;;) {
      const due = timers.filter((timer) => !timer.off && timer.at <= until).sort((a, b) => a.at - b.at)[0];
      if (due === undefined) break;
      due.off = true;
      now = due.at;
      due.then();
      await Promise.resolve();
      await Promise.resolve();
    }
    now = until;
  };
  return { line, hubs, links, follow, turn, failures, view: () => view };
}

describe('the live line', () => {
  it('asks a run again from the counts held, so that a reconnection leaves neither hole nor duplicate', async () => {
    const { line, hubs, follow, turn, view } = world([true, false, false, true]);
    follow();
    await line.open();
    expect(hubs[0]?.runStreams()[0]?.args).toEqual(['a', 0, 0]);
    hubs[0]?.runStreams()[0]?.to.next(update('a', [0, 100], [0, 7]));
    await hubs[0]?.stop();
    await turn(8000);
    expect(hubs).toHaveLength(4);
    const again = hubs[3]?.runStreams()[0];
    expect(again?.args).toEqual(['a', 100, 7]);
    again?.to.next(update('a', [100, 50], [7, 1]));
    expect(view().curve.temperature).toEqual(Array.from({ length: 150 }, (_, i) => 60 + i));
    expect(view().events).toHaveLength(8);
  });

  it('does not listen to a stream of a connection that is gone', async () => {
    const { line, hubs, follow, turn, view } = world([true, true]);
    follow();
    await line.open();
    await hubs[0]?.stop();
    hubs[0]?.runStreams()[0]?.to.next(update('a', [0, 100]));
    expect(view().curve.time).toHaveLength(0);
    await turn(5000);
    expect(hubs[1]?.runStreams()[0]?.args).toEqual(['a', 0, 0]);
  });

  it('asks again at once when a stretch does not join', async () => {
    const { line, hubs, follow } = world([true]);
    follow();
    await line.open();
    hubs[0]?.runStreams()[0]?.to.next(update('a', [0, 10]));
    hubs[0]?.runStreams()[0]?.to.next(update('a', [15, 5]));
    expect(hubs[0]?.runStreams()[0]?.disposed).toBe(true);
    expect(hubs[0]?.runStreams()[1]?.args).toEqual(['a', 10, 0]);
  });

  it('tries for ever, with waits that grow to a limit', async () => {
    const { line, hubs, links, turn } = world(Array.from({ length: 500 }, () => false));
    await line.open();
    await turn(3_600_000);
    expect(hubs.length).toBeGreaterThan(250);
    expect(hubs.length).toBeLessThan(500);
    expect(new Set(links)).toEqual(new Set(['lost']));
  });

  it('tries at once when woken', async () => {
    const { line, hubs, turn } = world([false, false, false, true]);
    await line.open();
    await turn(1200);
    const before = hubs.length;
    line.wake();
    expect(hubs.length).toBe(before + 1);
  });

  it('takes a silent line for dead and opens a new one', async () => {
    const { line, hubs, links, turn } = world([true, true]);
    await line.open();
    await turn(21_000);
    expect(links).toEqual(['up', 'lost', 'up']);
    expect(hubs).toHaveLength(2);
  });

  it('ends with a run that is over, and asks again when the stream broke off', async () => {
    const { line, hubs, follow, turn, failures } = world([true]);
    follow();
    await line.open();
    const streams = (): readonly Stream[] => hubs[0]?.runStreams() ?? [];
    streams()[0]?.to.error(new Error('no such run'));
    await turn(2000);
    expect(failures).toEqual(['no such run']);
    expect(streams()).toHaveLength(2);
    streams()[1]?.to.next(update('a', [0, 5], [0, 0], { closedAt: '2026-03-04T09:23:20+00:00' }));
    streams()[1]?.to.complete();
    await turn(10_000);
    expect(streams()).toHaveLength(2);
  });

  it('does not blame the run for the loss of the line', async () => {
    const { line, hubs, follow, turn, failures } = world([true, true]);
    follow();
    await line.open();
    hubs[0]?.runStreams()[0]?.to.error(new Error('closed with status code 1006'));
    await hubs[0]?.stop();
    await turn(5000);
    expect(failures).toEqual([]);
  });

  it('shows what the hub said without the words around it', async () => {
    const { line, hubs, follow, turn, failures } = world([true]);
    follow();
    await line.open();
    hubs[0]?.runStreams()[0]?.to.error(new Error('An error occurred on the server while streaming results. HubException: No run of this name.'));
    await turn(10);
    expect(failures).toEqual(['No run of this name.']);
  });

  it('stops following when told', async () => {
    const { line, hubs, follow, view } = world([true]);
    const stop = follow();
    await line.open();
    stop();
    expect(hubs[0]?.runStreams()[0]?.disposed).toBe(true);
    hubs[0]?.runStreams()[0]?.to.next(update('a', [0, 5]));
    expect(view().curve.time).toHaveLength(0);
  });
});

describe('the waits between tries', () => {
  it('double, are jittered, and have a limit', () => {
    expect([backoff(0, 1), backoff(1, 1), backoff(2, 1)]).toEqual([500, 1000, 2000]);
    expect(backoff(2, 0)).toBe(1000);
    expect(backoff(1000, 1)).toBe(longestWait);
  });
});
