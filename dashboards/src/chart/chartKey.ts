import { el, svg } from '../dom';

/** What the lines and marks of the chart mean, in the same shapes; `second` for the line of a second detector, which most runs do not have. */
export function chartKey(second: HTMLElement): HTMLElement {
  return el(
    'figcaption',
    { class: 'chart-key' },
    entry('temperature', svg('path', { d: 'M1 10C8 8 12 6 21 2', class: 'key-trace' })),
    entry('allowed band', svg('path', { d: 'M1 10 21 1v7z', class: 'key-band' })),
    entry('application', svg('path', { d: 'M6 3h10l-5 7z', class: 'key-application' })),
    entry('flash', svg('path', { d: 'M11 0l1.3 2.9 3-1.1-1.1 3 2.8 1.2-2.8 1.2 1.1 3-3-1.1L11 12l-1.3-2.9-3 1.1 1.1-3L5 6l2.8-1.2-1.1-3 3 1.1z', class: 'key-flash' })),
    entry('fire point', svg('path', { d: 'm11 0 5 6-5 6-5-6z', class: 'key-fire' })),
    entry('detector, low to high', svg('path', { d: 'M1 9h6l2-7 3 7h9v2H1z', class: 'key-detector' })),
    second,
    entry('flame over the cup', svg('rect', { x: '7', y: '0', width: '8', height: '12', class: 'key-flame' })),
    entry('alarm', svg('rect', { x: '1', y: '4', width: '20', height: '4', class: 'key-alarm' })),
  );
}

/** The entry of the second detector. */
export function secondDetectorKey(): HTMLElement {
  return entry('second detector, own scale on the right', svg('path', { d: 'M1 9h6l2-6 3 6h9', class: 'key-second' }));
}

function entry(name: string, shape: SVGElement): HTMLElement {
  const picture = svg('svg', { viewBox: '0 0 22 12', width: '22', height: '12', 'aria-hidden': 'true' }, shape);
  return el('span', {}, picture, name);
}
