import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { el, setAttribute, setShown, setText } from '../dom';
import { celsius, fixed, runTime } from '../format';
import type { RunFacts } from '../state/runFacts';
import { emptyCurve, type Curve, type RunView } from '../state/runView';
import { chartKey, secondDetectorKey } from './chartKey';
import { drawBands } from './drawBands';
import { drawFlame } from './drawFlame';
import { drawMarks } from './drawMarks';
import { drawPhases } from './drawPhases';
import { readPalette, type Palette } from './palette';
import { detectorPanel, temperaturePanel, type PanelNeeds } from './panels';
import { visibleTime, type TimeWindow } from './timeWindow';

const whole: TimeWindow = { kind: 'whole' };

const choices: readonly (readonly [string, TimeWindow])[] = [
  ['Whole run', whole],
  ['Newest 5 min', { kind: 'newest', seconds: 300 }],
  ['Newest minute', { kind: 'newest', seconds: 60 }],
];

/** The temperature curve with its band, marks and phases, and the detector below it on the same time. */
export class RunChart {
  readonly element: HTMLElement;
  private readonly upper = el('div', { class: 'chart-upper' });
  private readonly lower = el('div', { class: 'chart-lower' });
  private readonly pointer = el('p', { class: 'chart-pointer' });
  private readonly secondKey = secondDetectorKey();
  private readonly buttons: readonly HTMLButtonElement[];
  private readonly temperature: uPlot;
  private readonly detector: uPlot;
  private readonly sizes: ResizeObserver;
  private readonly dark = matchMedia('(prefers-color-scheme: dark)');
  private palette: Palette | null = null;
  private shown: TimeWindow = whole;
  private curve: Curve = emptyCurve;
  private facts: RunFacts = { phases: [], bands: [], applications: [], flash: null, fire: null, alarms: [] };
  private pointed: number | null = null;
  private loading = true;

  constructor() {
    this.buttons = choices.map(([name, shown]) =>
      el('button', { type: 'button', class: 'choice', onclick: () => this.show(shown) }, name),
    );
    this.element = el(
      'figure',
      { class: 'chart panel', tabindex: '0', role: 'group', 'aria-label': 'Curve of the run', onkeydown: (event) => this.key(event as KeyboardEvent) },
      el('div', { class: 'chart-head' }, this.pointer, el('div', { class: 'choices', role: 'group', 'aria-label': 'Stretch of time shown' }, ...this.buttons)),
      this.upper,
      this.lower,
      chartKey(this.secondKey),
    );
    this.temperature = new uPlot(temperaturePanel(this.needs(true)), [[], []], this.upper);
    this.detector = new uPlot(detectorPanel(this.needs(false)), [[], [], [], [], []], this.lower);
    this.sizes = new ResizeObserver(() => this.fit());
    this.sizes.observe(this.upper);
    this.dark.addEventListener('change', this.recolour);
    void document.fonts.ready.then(this.recolour);
    this.show(this.shown);
  }

  /** Draws what the view holds; does nothing when the same is drawn already. */
  render(view: RunView, facts: RunFacts): void {
    if (view.curve === this.curve && facts === this.facts && view.loading === this.loading) return;
    this.loading = view.loading;
    this.curve = view.curve;
    this.facts = facts;
    this.draw();
  }

  dispose(): void {
    this.sizes.disconnect();
    this.dark.removeEventListener('change', this.recolour);
    this.temperature.destroy();
    this.detector.destroy();
  }

  private draw(): void {
    const { time, temperature, detectorLow, detectorHigh, secondLow, secondHigh, hasSecond } = this.curve;
    setShown(this.secondKey, hasSecond);
    const ends = visibleTime(this.shown, time[0] ?? 0, time.at(-1) ?? 0);
    const scale = { min: ends.from, max: ends.to };
    this.temperature.batch(() => {
      this.temperature.setData(columns(time, temperature), false);
      this.temperature.setScale('x', scale);
    });
    this.detector.batch(() => {
      this.detector.setData(columns(time, secondLow, secondHigh, detectorLow, detectorHigh), false);
      this.detector.setScale('x', scale);
    });
    this.describe();
  }

  private needs(upper: boolean): PanelNeeds {
    const newest = (): number => this.curve.time.at(-1) ?? 0;
    return {
      palette: () => this.colours(),
      syncKey: 'run',
      hasSecond: () => this.curve.hasSecond,
      under: (plot) => {
        if (upper) drawBands(plot, this.facts, this.curve, this.colours());
        else drawFlame(plot, this.curve, this.colours());
      },
      over: (plot) => {
        if (!upper) return;
        drawPhases(plot, this.facts, newest(), this.colours());
        drawMarks(plot, this.facts, this.colours());
      },
      pointed: (index) => {
        this.pointed = index;
        this.describe();
      },
      chosen: (from, to) => this.show({ kind: 'fixed', from, to }),
    };
  }

  private show(shown: TimeWindow): void {
    this.shown = shown;
    this.buttons.forEach((button, i) => setAttribute(button, 'aria-pressed', String(choices[i]?.[1] === shown)));
    this.draw();
  }

  /** The values under the pointer, or of the newest point. */
  private describe(): void {
    const { time, temperature, detectorLow, detectorHigh, secondLow, secondHigh, flame } = this.curve;
    const index = this.pointed ?? time.length - 1;
    const at = time[index];
    if (at === undefined) {
      setText(this.pointer, this.loading ? 'Loading' : 'No reading yet');
      return;
    }
    const low = detectorLow[index];
    const detector = low == null ? 'no detector reading' : `detector ${fixed(low, 3)} to ${fixed(detectorHigh[index], 3)}`;
    const second = secondLow[index] == null ? '' : ` · second ${fixed(secondLow[index], 3)} to ${fixed(secondHigh[index], 3)}`;
    const reading = temperature[index] == null ? 'no temperature reading' : celsius(temperature[index], 2);
    const over = flame[index] === true ? ' · flame over the cup' : '';
    setText(this.pointer, `${this.pointed === null ? 'newest, at' : 'at'} ${runTime(at)} · ${reading} · ${detector}${second}${over}`);
  }

  /** Arrow keys walk along the curve, Escape lets go. */
  private key(event: KeyboardEvent): void {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (event.key === 'Escape') {
      this.temperature.setCursor({ left: -10, top: -10 });
      this.show(whole);
    } else if (step !== undefined && this.curve.time.length > 0) {
      event.preventDefault();
      const last = this.curve.time.length - 1;
      const index = Math.min(last, Math.max(0, (this.pointed ?? last) + step * (event.shiftKey ? 50 : 5)));
      this.temperature.setCursor({ left: this.temperature.valToPos(this.curve.time[index] ?? 0, 'x'), top: 20 });
    }
  }

  private fit(): void {
    const width = this.upper.clientWidth;
    if (width === 0) return;
    this.temperature.setSize({ width, height: this.upper.clientHeight });
    this.detector.setSize({ width, height: this.lower.clientHeight });
  }

  private colours(): Palette {
    return (this.palette ??= readPalette(document.documentElement));
  }

  private readonly recolour = (): void => {
    this.palette = null;
    this.temperature.redraw(false, true);
    this.detector.redraw(false, true);
  };
}

/** uPlot reads its columns and never writes to them, though its types do not say so. */
function columns(...all: readonly (readonly (number | null)[])[]): uPlot.AlignedData {
  return all as unknown as uPlot.AlignedData;
}
