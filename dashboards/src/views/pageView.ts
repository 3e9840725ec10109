import type { TestersView } from '../state/testersView';

/** What every view is drawn from, at most once a frame. `now` is the browser's clock, ms. */
export interface Scene {
  readonly testers: TestersView;
  readonly now: number;
}

/** One route's content. */
export interface PageView {
  readonly title: string;
  readonly element: HTMLElement;
  render(scene: Scene): void;
  dispose(): void;
}
