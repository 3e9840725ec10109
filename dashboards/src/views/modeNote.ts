import type { RunMode } from '../contract';
import { el, setShown } from '../dom';
import { modeMeaning } from './modeWords';

/** Says what the mode of a tester means, before a run is started on it. */
export class ModeNote {
  readonly element = el('aside', { class: 'mode-note', 'data-testid': 'mode-note', hidden: true });
  private mode: RunMode | null = null;

  set(mode: RunMode): void {
    if (mode === this.mode) return;
    this.mode = mode;
    const meaning = modeMeaning[mode];
    setShown(this.element, meaning !== null);
    if (meaning === null) this.element.replaceChildren();
    else this.element.replaceChildren(el('h3', {}, meaning.title), el('ul', {}, ...meaning.lines.map((line) => el('li', {}, line))));
  }
}
