import type { RunOutput } from '../contract';
import { el } from '../dom';
import { runTime } from '../format';
import { fallenIndices } from '../state/standingFacts';
import { eventWords } from '../words';

/** Everything the supervisor stated, newest first. Only what is new is added; what was taken back stays, struck out. */
export class EventLog {
  private readonly list = el('ol', { class: 'events', reversed: true });
  readonly element = el('details', { class: 'log panel' }, el('summary', {}, 'Log of the run'), this.list);
  private shown: readonly RunOutput[] = [];

  set(events: readonly RunOutput[]): void {
    if (events === this.shown) return;
    const grown = this.shown.length > 0 && events[this.shown.length - 1] === this.shown.at(-1);
    const fresh = grown ? events.slice(this.shown.length) : events;
    if (!grown) this.list.replaceChildren();
    for (const event of fresh) {
      this.list.prepend(el('li', { 'data-kind': event.kind }, el('time', {}, runTime(event.atSeconds)), el('span', {}, eventWords(event))));
    }
    this.shown = events;
    if (fresh.some((event) => event.kind === 'observation-withdrawn')) this.strike();
  }

  private strike(): void {
    const items = [...this.list.children].reverse();
    for (const index of fallenIndices(this.shown)) {
      const item = items[index];
      if (item === undefined || item.classList.contains('fallen')) continue;
      item.classList.add('fallen');
      item.lastElementChild?.append(el('span', { class: 'fallen-word' }, ' (taken back)'));
    }
  }
}
