import type { Backend } from '../backend';
import { isOver, needsDetail, openRun, reduceRun, type RunMessage, type RunView } from './runView';

/** Keeps one run's view up to date from a backend, and tells when it changed. */
export class RunFollower {
  private current: RunView;
  private readonly stopFollowing: () => void;
  private stopped = false;
  private asking = false;

  constructor(
    private readonly backend: Backend,
    readonly runId: string,
    private readonly changed: () => void,
  ) {
    this.current = openRun(runId);
    this.stopFollowing = backend.follow({
      runId,
      held: () => {
        this.take({ kind: 'asked', runId });
        return { points: this.current.curve.time.length, events: this.current.events.length };
      },
      update: (update) => {
        this.take({ kind: 'update', update });
        return !this.current.mustAskAgain;
      },
      isOver: () => isOver(this.current),
      failed: (text) => this.take({ kind: 'failed', runId, text }),
    });
    void this.loadDetail();
  }

  get view(): RunView {
    return this.current;
  }

  stop(): void {
    this.stopped = true;
    this.stopFollowing();
  }

  private take(message: RunMessage): void {
    const next = reduceRun(this.current, message);
    if (next === this.current) return;
    this.current = next;
    this.changed();
    if (needsDetail(next)) void this.loadDetail();
  }

  /** The plan never changes, what the run may state is there once it is closed: asked for until both are here. */
  private async loadDetail(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    for (let attempt = 0; !this.stopped && needsDetail(this.current); attempt += 1) {
      // The stream may tell of the end a moment before the archive does.
      if (attempt > 0) await wait(Math.min(15_000, 1000 * 2 ** (attempt - 1)));
      if (!this.stopped) await this.askDetail();
    }
    this.asking = false;
  }

  private async askDetail(): Promise<void> {
    try {
      this.take({ kind: 'detail', detail: await this.backend.run(this.runId) });
    } catch (reason) {
      if (this.current.summary !== null) return;
      this.take({ kind: 'failed', runId: this.runId, text: reason instanceof Error ? reason.message : String(reason) });
    }
  }
}

function wait(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}
