import type { Backend } from '../backend';
import { el, setAttribute, setShown, setText } from '../dom';
import type { PageView, Scene } from './pageView';
import { RunPanel } from './runPanel';

/** One run by its id, on or over. */
export class RunPage implements PageView {
  readonly title = 'Run';
  private readonly run: RunPanel;
  private readonly tester = el('a', { hidden: true });
  readonly element: HTMLElement;

  constructor(backend: Backend, runId: string, changed: () => void) {
    this.run = new RunPanel(backend, runId, changed);
    this.element = el('div', { class: 'page' }, el('nav', { class: 'trail', 'aria-label': 'Where you are' }, el('a', { href: '#/' }, 'All testers'), this.tester), this.run.element);
  }

  render(scene: Scene): void {
    const id = this.run.testerId;
    setShown(this.tester, id !== null);
    if (id !== null) {
      setAttribute(this.tester, 'href', `#/tester/${encodeURIComponent(id)}`);
      setText(this.tester, scene.testers.testers.find((tester) => tester.id === id)?.name ?? id);
    }
    this.run.render(scene);
  }

  dispose(): void {
    this.run.dispose();
  }
}
