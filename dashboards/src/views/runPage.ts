import type { Backend } from '../backend';
import { el, setAttribute, setShown, setText } from '../dom';
import { stateOf } from '../state/testersView';
import { HeaterPanel } from './heaterPanel';
import type { PageView, Scene } from './pageView';
import { RunPanel } from './runPanel';

/** One run by its id, on or over. */
export class RunPage implements PageView {
  readonly title = 'Run';
  private readonly run: RunPanel;
  private readonly heater: HeaterPanel;
  private readonly tester = el('a', { hidden: true });
  readonly element: HTMLElement;

  constructor(backend: Backend, runId: string, changed: () => void) {
    this.run = new RunPanel(backend, runId, changed);
    this.heater = new HeaterPanel(backend);
    const trail = el('nav', { class: 'trail', 'aria-label': 'Where you are' }, el('a', { href: '#/' }, 'All testers'), this.tester);
    this.element = el('div', { class: 'page' }, trail, this.heater.element, this.run.element, this.heater.off.element);
  }

  render(scene: Scene): void {
    const id = this.run.testerId;
    setShown(this.tester, id !== null);
    if (id !== null) {
      setAttribute(this.tester, 'href', `#/tester/${encodeURIComponent(id)}`);
      setText(this.tester, scene.testers.testers.find((tester) => tester.id === id)?.name ?? id);
    }
    this.run.render(scene);
    // The heater belongs to the run that is open; a past one has none.
    const tester = scene.testers.testers.find((one) => one.run?.id === this.run.runId && one.run.closedAt === null);
    this.heater.render(tester, tester !== undefined && stateOf(tester, scene.testers, scene.now).condition === 'live');
  }

  dispose(): void {
    this.run.dispose();
    this.heater.dispose();
  }
}
