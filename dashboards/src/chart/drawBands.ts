import type uPlot from 'uplot';
import type { RunFacts } from '../state/runFacts';
import type { Curve } from '../state/runView';
import { bandEnd, conePolygon } from './cone';
import type { Palette } from './palette';

/** Paints the cones of allowed rates below the curve. */
export function drawBands(plot: uPlot, facts: RunFacts, curve: Curve, palette: Palette): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  for (const span of facts.bands) {
    const corners = conePolygon(span.entered, bandEnd(span, curve));
    if (corners.length === 0) continue;
    ctx.beginPath();
    for (const corner of corners) {
      ctx.lineTo(plot.valToPos(corner.seconds, 'x', true), plot.valToPos(corner.celsius, 'y', true));
    }
    ctx.closePath();
    ctx.fillStyle = palette.band;
    ctx.fill();
    ctx.strokeStyle = palette.bandEdge;
    ctx.lineWidth = devicePixelRatio;
    ctx.setLineDash([5 * devicePixelRatio, 3 * devicePixelRatio]);
    ctx.stroke();
    ctx.setLineDash([]);
  }
  ctx.restore();
}
