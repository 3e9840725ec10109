import type { RunPhase } from '../contract';

/** Colours of the canvas, taken from the style sheet so that light and dark live in one place. */
export interface Palette {
  readonly paper: string;
  readonly ink: string;
  readonly quiet: string;
  readonly grid: string;
  readonly trace: string;
  readonly band: string;
  readonly bandEdge: string;
  readonly detector: string;
  readonly detectorFill: string;
  readonly second: string;
  readonly secondFill: string;
  readonly flame: string;
  readonly flash: string;
  readonly fire: string;
  readonly alarm: string;
  readonly phases: Readonly<Record<RunPhase, string>>;
}

export const chartFont = "'Atkinson Hyperlegible Next Variable', system-ui, sans-serif";

export function readPalette(element: Element): Palette {
  const style = getComputedStyle(element);
  const of = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    paper: of('panel'),
    ink: of('ink'),
    quiet: of('quiet'),
    grid: of('grid'),
    trace: of('trace'),
    band: of('band'),
    bandEdge: of('band-edge'),
    detector: of('detector'),
    detectorFill: of('detector-fill'),
    second: of('second-detector'),
    secondFill: of('second-detector-fill'),
    flame: of('flame'),
    flash: of('flash'),
    fire: of('fire'),
    alarm: of('alarm'),
    phases: {
      ready: of('phase-ready'),
      'fast-heating': of('phase-fast'),
      'controlled-heating': of('phase-controlled'),
      'applying-test-flame': of('phase-applying'),
      'heating-to-fire-point': of('phase-to-fire'),
      cooling: of('phase-cooling'),
      closed: of('phase-closed'),
      'setting-temperature': of('phase-fast'),
      'awaiting-portion': of('phase-ready'),
      'portion-waiting': of('phase-controlled'),
      'clearing-cup': of('phase-cooling'),
    },
  };
}
