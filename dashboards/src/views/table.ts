import { el } from '../dom';

/** A table that scrolls inside its own box, also with the keyboard. */
export function table(names: readonly string[], kinds: readonly string[], rows: readonly HTMLElement[], label: string): HTMLElement {
  const head = names.map((name, i) => el('th', { scope: 'col', class: kinds[i] ?? '' }, name));
  return el(
    'div',
    { class: 'table-frame', tabindex: '0', role: 'region', 'aria-label': label },
    el('table', {}, el('thead', {}, el('tr', {}, ...head)), el('tbody', {}, ...rows)),
  );
}

/** A figure; its name shows where a narrow screen has no room for the head of the table. */
export function cell(text: string, name: string | null = null): HTMLElement {
  return el('td', { class: 'number', 'data-name': name }, text);
}
