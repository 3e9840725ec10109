import type uPlot from 'uplot';
import type { PhaseSpan, RunFacts } from '../state/runFacts';
import { phaseWords } from '../words';
import { chartFont, type Palette } from './palette';

/** Height of the strip above the plot and its distance from it, CSS px. */
export const stripHeight = 20;
export const stripGap = 8;

/** Paints the strip of phases above the plot, and the alarms that stood as bars on the plot's upper edge. */
export function drawPhases(plot: uPlot, facts: RunFacts, newestSeconds: number, palette: Palette): void {
  const { ctx, bbox } = plot;
  const ratio = devicePixelRatio;
  const top = bbox.top - (stripHeight + stripGap) * ratio;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, 0, bbox.width, bbox.top + bbox.height);
  ctx.clip();
  ctx.font = `600 ${12 * ratio}px ${chartFont}`;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'middle';
  for (const span of facts.phases) drawSpan(plot, span, top, newestSeconds, palette);
  ctx.fillStyle = palette.alarm;
  for (const alarm of facts.alarms) {
    const left = plot.valToPos(alarm.fromSeconds, 'x', true);
    const right = plot.valToPos(alarm.toSeconds ?? newestSeconds, 'x', true);
    ctx.fillRect(left, bbox.top - 6 * ratio, Math.max(right - left, 2 * ratio), 4 * ratio);
  }
  ctx.restore();
}

function drawSpan(plot: uPlot, span: PhaseSpan, top: number, newestSeconds: number, palette: Palette): void {
  const { ctx } = plot;
  const ratio = devicePixelRatio;
  const left = plot.valToPos(span.from, 'x', true);
  const right = plot.valToPos(span.to ?? newestSeconds, 'x', true);
  const width = Math.max(right - left, ratio);
  ctx.fillStyle = palette.phases[span.phase];
  const height = stripHeight * ratio;
  ctx.fillRect(left, top, width, height);
  const label = phaseWords[span.phase];
  const room = Math.max(left, plot.bbox.left);
  if (Math.min(right, plot.bbox.left + plot.bbox.width) - room > ctx.measureText(label).width + 12 * ratio) {
    ctx.fillStyle = span.phase === 'applying-test-flame' ? palette.paper : palette.ink;
    ctx.fillText(label, room + 6 * ratio, top + height / 2 + ratio * 0.5);
  }
}
