import type { RunOutput, RunStatus } from '../contract';
import { el, setAttribute, setShown, setText } from '../dom';
import { countdown, duration, fixed } from '../format';
import type { RunView } from '../state/runView';
import { phaseWords } from '../words';
import { badMarks, currentOnly, faultLine, noteWords } from './markWords';
import { detectorCheckWords } from './detectorWords';
import { RateGauge, besideBand } from './rateGauge';
import { Readout } from './readout';
import { bandLine, phaseOfView, rateFigure } from './statusWords';
import { ThermometerLine } from './thermometerLine';
import { lagWords, leadingSensor, signalWords, unitOf, type Standing } from './thermometerWords';

/** The big figures of a run that is on. */
export class LiveReadouts {
  private readonly phase = new Readout('Phase', 'phase', 'middle');
  private readonly fault = el('p', { class: 'readout-fault', 'data-testid': 'thermometer-fault' });
  private readonly lag = el('p', { class: 'readout-detail', 'data-testid': 'thermometer-lag' });
  private readonly note = el('p', { class: 'readout-detail', 'data-testid': 'thermometer-note' });
  private readonly signal = el('p', { class: 'readout-detail', 'data-testid': 'thermometer-signal' });
  private readonly thermometer = new ThermometerLine();
  private readonly temperature = new Readout(
    'Specimen temperature', 'temperature', 'large', this.fault, this.lag, this.note, this.signal, this.thermometer.element,
  );
  private readonly gauge = new RateGauge();
  private readonly rate = new Readout('Rate', 'rate', 'middle', this.gauge.element);
  private readonly next = new Readout('Next application', 'countdown', 'middle');
  private readonly check = el('p', { class: 'readout-detail detector-check', 'data-testid': 'detector-check' });
  private readonly burning = new Readout('Burning', 'burning', 'middle', this.check);
  private readonly flash = new Readout('Observed flash', 'flash-point', 'middle');
  private readonly fire = new Readout('Observed fire', 'fire-point', 'middle');
  readonly element = el(
    'div',
    { class: 'readouts panel' },
    ...[this.phase, this.temperature, this.rate, this.next, this.burning, this.flash, this.fire].map((one) => one.element),
  );

  constructor() {
    this.flash.mark('flash', true);
    this.fire.mark('fire', true);
    this.burning.mark('burning', true);
    this.temperature.mark('wide', true);
    this.phase.mark('wide', true);
    this.rate.mark('wide', true);
  }

  render(view: RunView, age: number | null, stale: boolean, standing: Standing | null): void {
    const status = view.status;
    this.phase.set(phaseOfView(view), '', status === null ? '' : applicationsLine(status));
    this.renderTemperature(view, age, stale);
    this.renderThermometer(view, standing);
    if (status !== null) this.renderStatus(currentOnly(status), view.events);
  }

  private renderTemperature(view: RunView, age: number | null, stale: boolean): void {
    const status = view.status;
    this.temperature.mark('old', stale);
    const ageLine = age === null ? '' : stale ? `old: read ${duration(age)} ago` : `read ${duration(age)} ago`;
    if (view.loading) this.temperature.set('Loading', '', ageLine);
    else if (status === null || status.temperatureCelsius === null) this.temperature.set('no reading', '', ageLine);
    else this.temperature.set(fixed(status.temperatureCelsius, 1), '°C', ageLine);
    const fault = status === null || view.loading ? null : faultLine(status);
    setText(this.fault, fault ?? '');
    this.temperature.mark('unused', fault !== null);
    this.temperature.strike(fault !== null && status !== null && status.temperatureCelsius !== null);
  }

  private renderThermometer({ status, plan, thermometerSteps }: RunView, standing: Standing | null): void {
    setShown(this.thermometer.element, standing !== null);
    if (plan === null || standing === null) return;
    this.thermometer.set(leadingSensor(thermometerSteps), standing);
    setText(this.lag, status === null ? '' : (lagWords(plan.thermometer.lag, currentOnly(status).lagCelsius) ?? ''));
    setText(this.note, status === null ? '' : noteWords(status.thermometerMarks));
    setText(this.signal, status === null ? '' : signalWords(status, unitOf(plan)));
    this.lag.classList.toggle('caution', plan.thermometer.lag?.correct === true);
  }

  private renderStatus(status: RunStatus, events: readonly RunOutput[]): void {
    const rate = rateFigure(status);
    this.rate.set(rate ?? (badMarks(status.thermometerMarks).length === 0 ? 'not known yet' : 'not known now'), rate === null ? '' : '°C/min', bandLine(status));
    const side = besideBand(status.rateCelsiusPerMinute, status.band);
    this.rate.mark('above', side === 'above');
    this.rate.mark('below', side === 'below');
    this.gauge.set(status.rateCelsiusPerMinute, status.rateUncertaintyCelsiusPerMinute, status.band);
    this.renderNext(status);
    this.burning.mark('on', status.burningSeconds !== null);
    if (status.burningSeconds === null) this.burning.set('no', '', status.flameOver === null ? 'test flame not reported' : status.flameOver ? 'test flame over the cup' : 'test flame away');
    else this.burning.set(fixed(status.burningSeconds, 1), 's', 'the specimen is burning');
    setText(this.check, status.detectorCheck === null ? '' : detectorCheckWords(status.detectorCheck));
    setAttribute(this.check, 'data-trust', status.detectorCheck?.trust ?? 'good');
    point(this.flash, status.observedFlashCelsius, seenUnread(events, 'flash-detected'));
    point(this.fire, status.observedFireCelsius, seenUnread(events, 'fire-detected'));
  }

  private renderNext(status: RunStatus): void {
    if (status.nextApplicationCelsius === null) this.next.set('none due', '', '');
    else {
      const at = `at ${fixed(status.nextApplicationCelsius, 1)} °C`;
      if (status.secondsToNextApplication === null) this.next.set(at, '', 'time cannot be told');
      else this.next.set(countdown(status.secondsToNextApplication).replace(' s', ''), 's', at);
    }
  }
}

function applicationsLine(status: RunStatus): string {
  const made = status.applications === 1 ? '1 application' : `${status.applications} applications`;
  return status.phase === 'ready' ? 'nothing has been judged yet' : `${made} so far`;
}

/** Whether the point was seen while no thermometer reading was near enough to tell its temperature. */
export function seenUnread(events: readonly RunOutput[], kind: 'flash-detected' | 'fire-detected'): boolean {
  return events.some((event) => event.kind === kind && event.temperatureCelsius === null);
}

function point(readout: Readout, celsius: number | null, unread: boolean): void {
  readout.mark('on', celsius !== null || unread);
  if (celsius === null) readout.set(unread ? 'seen, not read' : 'none yet', '', unread ? 'no thermometer reading near it' : '');
  else readout.set(fixed(celsius, 1), '°C');
}

/** The newest thing worth saying aloud, once: phases but not each pass of the flame, the flash, the fire point. */
export function spoken(view: RunView): string {
  const status = view.status;
  if (status === null || status.phase === 'applying-test-flame') return '';
  if (status.observedFireCelsius !== null) return `Fire point at ${fixed(status.observedFireCelsius, 1)} °C. ${phaseWords[status.phase]}.`;
  if (seenUnread(view.events, 'fire-detected')) return `Fire point seen; its temperature was not read. ${phaseWords[status.phase]}.`;
  if (status.observedFlashCelsius !== null) return `Flash at ${fixed(status.observedFlashCelsius, 1)} °C. ${phaseWords[status.phase]}.`;
  if (seenUnread(view.events, 'flash-detected')) return `Flash seen; its temperature was not read. ${phaseWords[status.phase]}.`;
  return `${phaseWords[status.phase]}.`;
}
