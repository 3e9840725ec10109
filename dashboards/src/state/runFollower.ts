import type { Backend } from '../backend';
import { isOver, openRun, reduceRun, type RunMessage, type RunView } from './runView';

/** Keeps one run's view up to date from a backend, and tells when it changed. */
export class RunFollower {
  private current: RunView;
  private readonly stopFollowing: () => void;
  private stopped = false;

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
    void this.loadDetail(0);
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
  }

  /** The plan never changes; it is asked for until it is there. */
  private async loadDetail(attempt: number): Promise<void> {
    if (this.stopped) return;
    try {
      this.take({ kind: 'detail', detail: await this.backend.run(this.runId) });
    } catch (reason) {
      if (this.current.summary === null) {
        this.take({ kind: 'failed', runId: this.runId, text: reason instanceof Error ? reason.message : String(reason) });
      }
      setTimeout(() => void this.loadDetail(attempt + 1), Math.min(15_000, 1000 * 2 ** attempt));
    }
  }
}
