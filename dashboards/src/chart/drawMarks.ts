import type uPlot from 'uplot';
import { celsius } from '../format';
import type { ApplicationMark, PointMark, RunFacts } from '../state/runFacts';
import { chartFont, type Palette } from './palette';
import { diamond, star, triangle } from './shapes';

/** Paints the applications, the flash point and the fire point above the curve. */
export function drawMarks(plot: uPlot, facts: RunFacts, palette: Palette): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  drawApplications(plot, facts.applications, palette);
  if (facts.flash !== null) drawPoint(plot, facts.flash, 'Flash', palette.flash, star, palette);
  if (facts.fire !== null) drawPoint(plot, facts.fire, 'Fire point', palette.fire, diamond, palette);
  ctx.restore();
}

function drawApplications(plot: uPlot, marks: readonly ApplicationMark[], palette: Palette): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const floor = bbox.top + bbox.height;
  let labelFrom = Number.NEGATIVE_INFINITY;
  ctx.font = `600 ${11 * ratio}px ${chartFont}`;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'bottom';
  for (const mark of marks) {
    const x = plot.valToPos(mark.timeSeconds, 'x', true);
    if (x < bbox.left - 20 || x > bbox.left + bbox.width + 20) continue;
    const y = plot.valToPos(mark.temperatureCelsius, 'y', true);
    ctx.strokeStyle = palette.flame;
    ctx.lineWidth = ratio;
    ctx.setLineDash(mark.evidence === 'schedule' ? [2 * ratio, 3 * ratio] : []);
    ctx.beginPath();
    ctx.moveTo(x, floor);
    ctx.lineTo(x, floor - 9 * ratio);
    ctx.stroke();
    ctx.setLineDash([]);
    if (mark.judged?.flash !== true) triangle(ctx, x, y - 9 * ratio, 4 * ratio, palette.flame, palette.paper, mark.judged !== null);
    const label = String(mark.number);
    const width = ctx.measureText(label).width;
    if (x - width / 2 > labelFrom) {
      ctx.fillStyle = palette.ink;
      ctx.fillText(label, x, floor - 10 * ratio);
      labelFrom = x + width / 2 + 5 * ratio;
    }
  }
}

type Shape = (ctx: CanvasRenderingContext2D, x: number, y: number, size: number, fill: string, edge: string) => void;

function drawPoint(plot: uPlot, mark: PointMark, name: string, colour: string, shape: Shape, palette: Palette): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const x = plot.valToPos(mark.timeSeconds, 'x', true);
  const y = plot.valToPos(mark.temperatureCelsius, 'y', true);
  ctx.strokeStyle = colour;
  ctx.lineWidth = 1.25 * ratio;
  ctx.beginPath();
  ctx.moveTo(x, bbox.top + bbox.height);
  ctx.lineTo(x, y);
  ctx.stroke();
  shape(ctx, x, y, 9 * ratio, colour, palette.paper);

  const label = `${name} ${celsius(mark.temperatureCelsius)}`;
  ctx.font = `700 ${13 * ratio}px ${chartFont}`;
  const width = ctx.measureText(label).width;
  const toLeft = x - width - 18 * ratio > bbox.left;
  ctx.textAlign = toLeft ? 'right' : 'left';
  ctx.textBaseline = 'middle';
  // Clear of the applications, which climb with the curve on the left.
  const above = y - (toLeft ? 27 : 12) * ratio;
  const at = toLeft ? x - 2 * ratio : x + 14 * ratio;
  ctx.lineWidth = 4 * ratio;
  ctx.lineJoin = 'round';
  ctx.strokeStyle = palette.paper;
  ctx.strokeText(label, at, above);
  ctx.fillStyle = colour;
  ctx.fillText(label, at, above);
}
