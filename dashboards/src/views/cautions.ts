import type { MethodDefinition } from '../contract';
import { el } from '../dom';

/** What a person must know before acting on anything shown here. */
export function cautions(method: MethodDefinition): HTMLElement {
  return el(
    'aside',
    { class: 'cautions', 'aria-label': 'Cautions' },
    el('h3', {}, el('span', { class: 'caution-sign', 'aria-hidden': 'true' }), 'Open flame, hot oil'),
    el('ul', {}, ...method.cautions.map((text) => el('li', {}, text))),
  );
}
