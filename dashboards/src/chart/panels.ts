import uPlot from 'uplot';
import { runTime } from '../format';
import { isolatedIndices } from './isolated';
import { chartFont, type Palette } from './palette';
import { stripGap, stripHeight } from './drawPhases';
import { visibleValues } from './timeWindow';

/** What a panel asks its owner: colours can change while it lives. */
export interface PanelNeeds {
  readonly palette: () => Palette;
  readonly syncKey: string;
  readonly under: (plot: uPlot) => void;
  readonly over: (plot: uPlot) => void;
  readonly hasSecond: () => boolean;
  readonly pointed: (index: number | null) => void;
  readonly chosen: (from: number, to: number) => void;
}

const axisWidth = 52;
const secondAxisWidth = 40;
const axisFont = `12px ${chartFont}`;

/** Panel of the temperature curve, °C over the run's time. */
export function temperaturePanel(needs: PanelNeeds): uPlot.Options {
  return {
    ...shared(needs),
    // The axis of a second detector takes its room in both panels, so that their times stay one above the other.
    padding: [stripHeight + stripGap + 4, () => 12 + (needs.hasSecond() ? secondAxisWidth : 0), 0, 0],
    scales: {
      x: { time: false, auto: false },
      y: { range: (_plot, low, high) => visibleValues(low, high, 4, { below: 0.12, above: 0.11 }) },
    },
    axes: [timeAxis(needs, false), valueAxis(needs, 'temperature, °C')],
    series: [{}, line(needs, (palette) => palette.trace, 1.75)],
  };
}

/** Panel of the detectors: lowest and highest value of each point, with what lies between filled. The second has a scale of its own, for it may be of another kind. */
export function detectorPanel(needs: PanelNeeds): uPlot.Options {
  const edge = line(needs, (palette) => palette.detector, 1.25);
  const second: uPlot.Series = { ...line(needs, (palette) => palette.second, 1.25), scale: 'second', dash: [4, 2] };
  return {
    ...shared(needs),
    padding: [6, 12, 0, 0],
    scales: {
      x: { time: false, auto: false },
      y: { range: (_plot, low, high) => visibleValues(low, high, 0.05, { below: 0.08, above: 0.1 }) },
      // Without values there is no scale, and without a scale no axis. With more room below, the two quiet lines do not lie on each other.
      second: { range: (_plot, low, high) => (needs.hasSecond() ? visibleValues(low, high, 0.05, { below: 0.3, above: 0.1 }) : [null, null]) },
    },
    axes: [timeAxis(needs, true), valueAxis(needs, 'detector'), secondAxis(needs)],
    series: [{}, { ...second }, { ...second }, { ...edge }, { ...edge }],
    bands: [
      { series: [2, 1], fill: () => needs.palette().secondFill },
      { series: [4, 3], fill: () => needs.palette().detectorFill },
    ],
  };
}

function shared(needs: PanelNeeds): Pick<uPlot.Options, 'width' | 'height' | 'legend' | 'cursor' | 'hooks'> {
  return {
    width: 300,
    height: 120,
    legend: { show: false },
    cursor: {
      sync: { key: needs.syncKey },
      drag: { x: true, y: false, setScale: false, dist: 6 },
      points: { size: 8, fill: () => needs.palette().ink },
    },
    hooks: {
      drawClear: [needs.under],
      draw: [needs.over],
      setCursor: [(plot) => needs.pointed(plot.cursor.idx ?? null)],
      setSelect: [
        (plot) => {
          const { left, width } = plot.select;
          if (width < 6) return;
          needs.chosen(plot.posToVal(left, 'x'), plot.posToVal(left + width, 'x'));
          plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
        },
      ],
    },
  };
}

function line(needs: PanelNeeds, colour: (palette: Palette) => string, width: number): uPlot.Series {
  return {
    stroke: () => colour(needs.palette()),
    width,
    // A gap in the readings stays a gap.
    spanGaps: false,
    points: {
      show: true,
      size: 5,
      stroke: () => colour(needs.palette()),
      fill: () => colour(needs.palette()),
      filter: (plot, series) => {
        const [from, to] = plot.series[series]?.idxs ?? [0, -1];
        return isolatedIndices(plot.data[series] ?? [], from, to);
      },
    },
  };
}

function timeAxis(needs: PanelNeeds, shown: boolean): uPlot.Axis {
  return {
    stroke: () => needs.palette().quiet,
    font: axisFont,
    size: shown ? 30 : 6,
    grid: { stroke: () => needs.palette().grid, width: 1 },
    ticks: { show: shown, stroke: () => needs.palette().grid, size: 4 },
    incrs: [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200],
    space: 70,
    values: (_plot, splits) => splits.map((seconds) => (shown && seconds >= 0 ? runTime(seconds) : '')),
  };
}

function valueAxis(needs: PanelNeeds, label: string): uPlot.Axis {
  return {
    stroke: () => needs.palette().quiet,
    font: axisFont,
    size: axisWidth,
    label,
    labelSize: 18,
    labelFont: axisFont,
    labelGap: 0,
    grid: { stroke: () => needs.palette().grid, width: 1 },
    ticks: { show: false },
    space: 36,
  };
}

/** Scale of the second detector on the right, in its colour; the key names it, so that it needs no label's width on a phone. */
function secondAxis(needs: PanelNeeds): uPlot.Axis {
  return {
    scale: 'second',
    side: 1,
    stroke: () => needs.palette().second,
    font: axisFont,
    size: secondAxisWidth,
    grid: { show: false },
    ticks: { show: false },
    space: 24,
  };
}
