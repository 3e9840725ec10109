import type { Backend } from '../backend';
import type { ConfigurationOverview } from '../contract';
import { el, setShown } from '../dom';

const lookMilliseconds = 5000;

/** What a person should know of the file of the configuration, a sentence each; empty where it is in force. */
export function configurationWords(state: ConfigurationOverview): readonly string[] {
  if (state.mistakes.length > 0) {
    const count = `${state.mistakes.length} ${state.mistakes.length === 1 ? 'mistake' : 'mistakes'}`;
    return [`The configuration was changed and has ${count}: nothing of it is taken, the testers go on as they are.`, ...state.mistakes];
  }
  return state.waiting;
}

/** Says what is wrong with the file of the configuration, or waits; nothing at all where it is in force. */
export class ConfigurationNote {
  readonly element = el('section', { class: 'panel configuration-note', role: 'status', 'data-testid': 'configuration', hidden: true });
  private shown = '';
  private mistaken = false;
  private disposed = false;

  constructor(private readonly backend: Backend) {
    void this.look();
  }

  dispose(): void {
    this.disposed = true;
  }

  private async look(): Promise<void> {
    try {
      const state = await this.backend.configuration();
      this.mistaken = state.mistakes.length > 0;
      this.set(configurationWords(state));
    } catch {
      // The banner says that the service does not answer; what was shown last still holds.
    }
    if (!this.disposed) setTimeout(() => void this.look(), lookMilliseconds);
  }

  private set(words: readonly string[]): void {
    const text = words.join('\n');
    if (text === this.shown) return;
    this.shown = text;
    const [first, ...rest] = this.mistaken ? words : ['The file of the configuration has changed; not all of it is in force yet:', ...words];
    this.element.classList.toggle('mistaken', this.mistaken);
    this.element.replaceChildren(el('p', {}, first ?? ''), el('ul', {}, ...rest.map((sentence) => el('li', {}, sentence))));
    setShown(this.element, words.length > 0);
  }
}
