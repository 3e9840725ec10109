import type { AmbientOverview, RunStatus } from '../contract';
import { el, setShown, setText } from '../dom';
import { benchFacts } from './benchWords';

/** What a tester tells of its bench, in one line of pairs; nothing at all where it tells nothing. */
export class BenchLine {
  readonly element = el('dl', { class: 'bench-line', 'data-testid': 'bench', hidden: true });
  private shown = '';

  set(status: RunStatus | null, isDriven: boolean, ambient: readonly AmbientOverview[] | null): void {
    const facts = status === null ? [] : benchFacts(status, isDriven, ambient);
    setShown(this.element, facts.length > 0);
    const names = facts.map((fact) => fact.name).join();
    if (names !== this.shown) {
      this.element.replaceChildren(...facts.map((fact) => el('div', {}, el('dt', {}, fact.name), el('dd'))));
      this.shown = names;
    }
    this.element.querySelectorAll('dd').forEach((place, index) => setText(place, facts[index]?.text ?? ''));
  }
}
