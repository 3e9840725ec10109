import type { Backend } from '../backend';
import type { TesterOverview } from '../contract';
import { el, setShown } from '../dom';
import { isOver, type RunView } from '../state/runView';
import { ThermometerLine, wholeDays } from './thermometerLine';
import { leadingSensor, standingAtRun, standingToday, type Standing } from './thermometerWords';

/** How the run's temperatures are made of the thermometer's signal, step by step, and the files to make them anew. */
export class ThermometerPanel {
  private readonly line = new ThermometerLine();
  private readonly steps = el('ol', { class: 'thermometer-steps' });
  readonly element: HTMLElement;
  private readonly wire: HTMLElement;
  private shown: readonly string[] = [];

  constructor(backend: Backend, runId: string) {
    this.wire = el('a', { href: backend.wireAddress(runId), download: `${runId}.wire`, hidden: true }, 'What the wire said');
    this.element = el(
      'section',
      { class: 'thermometer-panel panel', 'data-testid': 'thermometer-panel', hidden: true },
      el('h3', {}, 'Thermometer'),
      this.line.element,
      this.steps,
      el(
        'p',
        { class: 'thermometer-files' },
        el('a', { href: backend.thermometerAddress(runId), download: `${runId}-thermometer.json` }, 'These steps as JSON'),
        el('a', { href: backend.csvAddress(runId), download: `${runId}.csv` }, 'Readings with their signals and marks as CSV'),
        this.wire,
      ),
    );
  }

  set(view: RunView, tester: TesterOverview | undefined): void {
    const standing = standingOf(view, tester);
    setShown(this.element, standing !== null);
    setShown(this.wire, view.wireBytes !== null);
    if (standing === null) return;
    this.line.set(leadingSensor(view.thermometerSteps), standing);
    if (view.thermometerSteps === this.shown) return;
    this.shown = view.thermometerSteps;
    this.steps.replaceChildren(...this.shown.map((step) => el('li', {}, ...wholeDays(step))));
  }
}

/** Today's standing while the run is on, that of the day of the run afterwards; null before the plan is here. */
export function standingOf(view: RunView, tester: TesterOverview | undefined): Standing | null {
  if (view.plan === null) return null;
  return isOver(view) || tester === undefined ? standingAtRun(view.plan, view.summary?.result ?? null) : standingToday(tester.thermometer);
}
