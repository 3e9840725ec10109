import type { LiveListener, RunReader } from '../backend';
import type { RunUpdate, TesterOverview } from '../contract';
import { backoff } from './backoff';

/** The part of a SignalR connection that is used here. */
export interface Hub {
  start(): Promise<void>;
  stop(): Promise<void>;
  onclose(then: () => void): void;
  stream<T>(name: string, ...args: unknown[]): { subscribe(to: StreamReader<T>): { dispose(): void } };
}

interface StreamReader<T> {
  next(item: T): void;
  error(reason: unknown): void;
  complete(): void;
}

/** Timers, so that tests need not wait. Returns a function that cancels. */
export type Later = (milliseconds: number, then: () => void) => () => void;

interface Followed {
  readonly reader: RunReader;
  attempt: number;
  /** Counts the streams asked for; what an older one still delivers is not listened to. */
  turn: number;
  stopNow: () => void;
}

/** An overview comes several times a second; after this long without one the line is taken for dead, ms. */
const deadAfter = 20_000;

/**
 * Keeps one line to the service open for ever: after a loss it tries again, with growing and jittered waits,
 * and asks every followed run again from the counts its reader holds.
 */
export class LiveLine {
  private hub: Hub | null = null;
  private opening = false;
  private attempt = 0;
  private overviewAttempt = 0;
  private cancelRetry: () => void = () => undefined;
  private cancelWatch: () => void = () => undefined;
  private readonly followed = new Set<Followed>();

  constructor(
    private readonly connect: () => Hub,
    private readonly listener: LiveListener,
    private readonly later: Later,
    private readonly lot: () => number = Math.random,
  ) {}

  async open(): Promise<void> {
    if (this.opening) return;
    this.opening = true;
    this.cancelRetry();
    const hub = this.connect();
    hub.onclose(() => this.lost(hub));
    try {
      await hub.start();
    } catch {
      this.opening = false;
      this.listener.link('lost');
      this.cancelRetry = this.later(backoff(this.attempt++, this.lot()), () => void this.open());
      return;
    }
    this.opening = false;
    this.hub = hub;
    this.attempt = 0;
    this.listener.link('up');
    this.watch(hub);
    this.askOverview(hub);
    for (const one of this.followed) this.askRun(one);
  }

  /** Tries at once where a wait is running: the screen was unlocked, the network is back. */
  wake(): void {
    if (this.hub === null && this.attempt > 0) {
      this.attempt = 0;
      void this.open();
    }
  }

  follow(reader: RunReader): () => void {
    const one: Followed = { reader, attempt: 0, turn: 0, stopNow: () => undefined };
    this.followed.add(one);
    if (this.hub !== null) this.askRun(one);
    return () => {
      this.followed.delete(one);
      one.turn++;
      one.stopNow();
    };
  }

  private lost(hub: Hub): void {
    if (this.hub !== hub) return;
    this.hub = null;
    this.cancelWatch();
    for (const one of this.followed) one.turn++;
    this.listener.link('lost');
    this.attempt = Math.max(this.attempt, 1);
    this.cancelRetry = this.later(backoff(0, this.lot()), () => void this.open());
  }

  private askOverview(hub: Hub): void {
    if (this.hub !== hub) return;
    const again = (): void => {
      if (this.hub !== hub) return;
      this.later(backoff(this.overviewAttempt++, this.lot()), () => this.askOverview(hub));
    };
    hub.stream<readonly TesterOverview[]>('Overview').subscribe({
      next: (testers) => {
        this.overviewAttempt = 0;
        this.watch(hub);
        this.listener.overview(testers);
      },
      error: again,
      complete: again,
    });
  }

  private watch(hub: Hub): void {
    this.cancelWatch();
    this.cancelWatch = this.later(deadAfter, () => {
      this.lost(hub);
      void hub.stop();
    });
  }

  private askRun(one: Followed): void {
    const hub = this.hub;
    if (hub === null || !this.followed.has(one)) return;
    one.stopNow();
    const turn = ++one.turn;
    const held = one.reader.held();
    const stream = hub.stream<RunUpdate>('Run', one.reader.runId, held.points, held.events);
    const subscription = stream.subscribe(this.runReader(one, turn));
    one.stopNow = () => subscription.dispose();
  }

  private runReader(one: Followed, turn: number): StreamReader<RunUpdate> {
    return {
      next: (update) => {
        if (one.turn !== turn) return;
        one.attempt = 0;
        if (!one.reader.update(update)) this.askRun(one);
      },
      error: (reason) => {
        // The loss of the line ends every stream too, and is told by the line itself: look again a moment later.
        this.later(0, () => {
          if (one.turn === turn) one.reader.failed(reasonWords(reason));
        });
        this.askRunLater(one, turn);
      },
      complete: () => {
        if (!one.reader.isOver()) this.askRunLater(one, turn);
      },
    };
  }

  private askRunLater(one: Followed, turn: number): void {
    if (one.turn !== turn) return;
    this.later(backoff(one.attempt++, this.lot()), () => {
      if (one.turn === turn) this.askRun(one);
    });
  }
}

function reasonWords(reason: unknown): string {
  if (!(reason instanceof Error)) return 'The stream of this run broke.';
  // The client wraps what the hub said in words of its own.
  return reason.message.split('HubException: ').at(-1) ?? reason.message;
}
