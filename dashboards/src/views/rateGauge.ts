import type { Range } from '../contract';
import { setAttribute, setShown, setText, svg } from '../dom';
import { fixed } from '../format';

const width = 240;
const inset = 8;

/** Ends of the ruler for a band, °C/min: the band in the middle third or so, never below zero. */
export function rulerEnds(band: Range): Range {
  const margin = Math.max(2, (band.to - band.from) * 0.4);
  return { from: Math.max(0, band.from - margin), to: band.to + margin };
}

/** Where the rate lies to its band, in words. */
export function besideBand(rate: number | null, band: Range | null): 'inside' | 'above' | 'below' | 'unknown' {
  if (rate === null || band === null) return 'unknown';
  return rate > band.to ? 'above' : rate < band.from ? 'below' : 'inside';
}

/** A ruler of ramp rates with the allowed stretch marked and a needle at the rate. */
export class RateGauge {
  private readonly allowed = svg('rect', { y: '14', height: '10', class: 'gauge-band' });
  private readonly ticks = svg('path', { class: 'gauge-ticks' });
  private readonly labels = svg('g', { class: 'gauge-labels' });
  private readonly whisker = svg('path', { class: 'gauge-whisker' });
  private readonly needle = svg('path', { d: 'M0 13-5 3H5z', class: 'gauge-needle' });
  readonly element = svg(
    'svg',
    { viewBox: `0 0 ${width} 42`, class: 'gauge', 'aria-hidden': 'true' },
    this.allowed,
    this.ticks,
    this.labels,
    this.whisker,
    this.needle,
  );
  private drawnFor = '';

  set(rate: number | null, uncertainty: number | null, band: Range | null): void {
    setShown(this.element, band !== null);
    if (band === null) return;
    const ends = rulerEnds(band);
    const x = (value: number): number =>
      inset + ((Math.min(ends.to, Math.max(ends.from, value)) - ends.from) / (ends.to - ends.from)) * (width - 2 * inset);
    const key = `${band.from} ${band.to}`;
    if (key !== this.drawnFor) this.rule(band, ends, x);
    this.drawnFor = key;

    setShown(this.needle, rate !== null);
    setShown(this.whisker, rate !== null && uncertainty !== null);
    if (rate === null) return;
    setAttribute(this.needle, 'transform', `translate(${x(rate).toFixed(1)} 0)`);
    const side = besideBand(rate, band);
    setAttribute(this.needle, 'data-side', side);
    if (uncertainty !== null) {
      setAttribute(this.whisker, 'd', `M${x(rate - uncertainty).toFixed(1)} 19H${x(rate + uncertainty).toFixed(1)}`);
    }
  }

  private rule(band: Range, ends: Range, x: (value: number) => number): void {
    setAttribute(this.allowed, 'x', x(band.from).toFixed(1));
    setAttribute(this.allowed, 'width', Math.max(1, x(band.to) - x(band.from)).toFixed(1));
    const fine = ends.to - ends.from <= 6 ? 0.5 : 1;
    let path = `M${inset} 24H${width - inset}`;
    for (let i = Math.ceil(ends.from / fine); i * fine <= ends.to; i++) {
      path += `M${x(i * fine).toFixed(1)} 24v${(i * fine) % 1 === 0 ? 5 : 3}`;
    }
    setAttribute(this.ticks, 'd', path);
    this.labels.replaceChildren(
      ...[band.from, band.to].map((value) => {
        const label = svg('text', { x: x(value).toFixed(1), y: '40' });
        setText(label, fixed(value, value % 1 === 0 ? 0 : 1));
        return label;
      }),
    );
  }
}
