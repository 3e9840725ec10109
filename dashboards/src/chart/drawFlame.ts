import type uPlot from 'uplot';
import type { Curve } from '../state/runView';
import type { Palette } from './palette';

/** Shades the times with the test flame over the cup. */
export function drawFlame(plot: uPlot, curve: Curve, palette: Palette): void {
  const { ctx, bbox } = plot;
  const from = plot.scales.x?.min ?? 0;
  const to = plot.scales.x?.max ?? 0;
  ctx.save();
  ctx.fillStyle = palette.flame;
  ctx.globalAlpha = 0.35;
  for (const [start, end] of flameSpans(curve)) {
    if (end < from || start > to) continue;
    const left = Math.max(plot.valToPos(start, 'x', true), bbox.left);
    const right = Math.min(plot.valToPos(end, 'x', true), bbox.left + bbox.width);
    ctx.fillRect(left, bbox.top, Math.max(right - left, devicePixelRatio), bbox.height);
  }
  ctx.restore();
}

/** Times with the flame over the cup: from the first point that says so to the first that does not, s. */
export function flameSpans(curve: Pick<Curve, 'time' | 'flame'>): readonly (readonly [number, number])[] {
  const spans: [number, number][] = [];
  let start: number | null = null;
  curve.time.forEach((time, i) => {
    if (curve.flame[i] === true) start ??= time;
    else if (start !== null) {
      spans.push([start, time]);
      start = null;
    }
  });
  const last = curve.time.at(-1);
  if (start !== null && last !== undefined) spans.push([start, last]);
  return spans;
}
