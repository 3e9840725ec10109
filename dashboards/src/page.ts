import type { Backend } from './backend';
import { readRoute, type Route } from './route';
import { noTesters, reduceTesters, type TestersMessage, type TestersView } from './state/testersView';
import { Frame } from './views/frame';
import { OverviewPage } from './views/overviewPage';
import type { PageView } from './views/pageView';
import { RunPage } from './views/runPage';
import { TesterPage } from './views/testerPage';

/** Puts the page into `root` and keeps it going: one state, one render a frame at most, one view for the route. */
export function startPage(root: HTMLElement, backend: Backend): void {
  let testers: TestersView = noTesters;
  let view: PageView | null = null;
  let asked = false;
  const frame = new Frame();

  const render = (): void => {
    asked = false;
    const scene = { testers, now: Date.now() };
    frame.render(scene);
    view?.render(scene);
  };
  const ask = (): void => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(render);
  };
  const take = (message: TestersMessage): void => {
    testers = reduceTesters(testers, message);
    ask();
  };
  const go = (): void => {
    view?.dispose();
    view = viewOf(readRoute(location.hash), backend, ask);
    document.title = `${view.title} · Acquire`;
    frame.main.replaceChildren(view.element);
    window.scrollTo(0, 0);
    ask();
  };

  root.replaceChildren(...frame.elements);
  window.addEventListener('hashchange', go);
  go();
  // Ages count on while nothing arrives.
  setInterval(ask, 500);
  backend.open({
    overview: (list) => take({ kind: 'overview', testers: list, at: Date.now() }),
    link: (state) => take({ kind: 'link', link: state }),
  });
}

function viewOf(route: Route, backend: Backend, changed: () => void): PageView {
  switch (route.kind) {
    case 'testers':
      return new OverviewPage(backend, changed);
    case 'tester':
      return new TesterPage(backend, route.id, changed);
    case 'run':
      return new RunPage(backend, route.id, changed);
  }
}
