import type { TesterOverview } from '../contract';
import { el, setAttribute, setShown, setText } from '../dom';
import { celsius, duration, fixed, reported } from '../format';
import { stateOf } from '../state/testersView';
import { verdictWords } from '../words';
import { AlarmList } from './alarmList';
import { ambientLine } from './ambientWords';
import { ConditionChip, ageWords, troubleWords } from './condition';
import { FaultSpeech } from './faultSpeech';
import { BenchLine } from './benchLine';
import { heaterCardLine, isTrouble } from './heaterWords';
import { askedNow, modeLine } from './modeWords';
import { currentOnly, faultLine, noteWords } from './markWords';
import type { Scene } from './pageView';
import { detectorCheckWords } from './detectorWords';
import { RateGauge, besideBand } from './rateGauge';
import { bandLine, nextApplication, phaseOf, rateFigure } from './statusWords';
import { ThermometerLine } from './thermometerLine';
import { labelledSensor, signalWords, standingToday } from './thermometerWords';

/** One tester at a glance; the whole card leads to the tester. */
export class TesterCard {
  private readonly link = el('a', {});
  private readonly chip = new ConditionChip();
  private readonly phase = el('p', { class: 'card-phase', 'data-testid': 'phase' });
  private readonly specimen = el('p', { class: 'card-specimen' });
  private readonly notCurrent = el('span', { class: 'only-heard' });
  private readonly figure = el('span');
  private readonly temperature = el('p', { class: 'card-temperature', 'data-testid': 'temperature' }, this.notCurrent, this.figure);
  private readonly fault = el('p', { class: 'card-fault', 'data-testid': 'thermometer-fault' });
  private readonly rate = el('p', { class: 'card-rate', 'data-testid': 'rate' });
  private readonly bandLine = el('p', { class: 'card-band' });
  private readonly gauge = new RateGauge();
  private readonly next = el('dd', { 'data-testid': 'countdown' });
  private readonly detector = el('dd');
  private readonly second = el('dd', { 'data-testid': 'second-detector' });
  private readonly secondFact = el('div', { hidden: true }, el('dt', {}, 'Second detector'), this.second);
  private readonly points = el('dd');
  private readonly observed = el('div', {}, el('dt', {}, 'Observed'), this.points);
  private readonly alarms = new AlarmList();
  private readonly mode = el('p', { class: 'card-mode', 'data-testid': 'tester-mode' });
  private readonly asked = el('p', { class: 'card-asked', 'data-testid': 'tester-asked' });
  private readonly check = el('p', { class: 'detector-check', 'data-testid': 'detector-check' });
  private readonly outcome = el('p', { class: 'card-outcome' });
  private readonly trouble = el('p', { class: 'card-trouble' });
  private readonly thermometer = new ThermometerLine();
  private readonly signal = el('p', { 'data-testid': 'thermometer-signal' });
  private readonly note = el('p', { 'data-testid': 'thermometer-note' });
  private readonly speech = new FaultSpeech();
  private readonly bench = new BenchLine();
  private readonly foot = el('p', { class: 'card-foot' });
  private readonly values = el(
    'div',
    { class: 'card-values' },
    this.temperature,
    this.fault,
    el('div', { class: 'card-ramp' }, this.rate, this.gauge.element, this.bandLine),
  );
  private readonly facts = el(
    'dl',
    { class: 'card-facts' },
    el('div', {}, el('dt', {}, 'Next application'), this.next),
    el('div', {}, el('dt', {}, 'Detector'), this.detector),
    this.secondFact,
    this.observed,
  );
  readonly element = el(
    'article',
    { class: 'card panel', 'data-testid': 'tester-card' },
    el('header', { class: 'card-head' }, el('h2', {}, this.link), this.chip.element),
    el('div', { class: 'card-state' }, this.phase, this.specimen),
    this.mode,
    this.asked,
    this.alarms.element,
    this.values,
    this.facts,
    this.check,
    this.outcome,
    this.trouble,
    this.bench.element,
    el('div', { class: 'card-thermometer' }, this.thermometer.element, this.signal, this.note),
    this.foot,
    this.speech.element,
  );

  render(tester: TesterOverview, scene: Scene): void {
    const { condition, age } = stateOf(tester, scene.testers, scene.now);
    setAttribute(this.element, 'data-tester-id', tester.id);
    setAttribute(this.element, 'data-condition', condition);
    setAttribute(this.element, 'data-mode', tester.mode);
    setAttribute(this.link, 'href', `#/tester/${encodeURIComponent(tester.id)}`);
    setText(this.link, tester.name);
    this.chip.set(condition, age);
    setText(this.phase, phaseOf(tester.status, tester.run));
    setText(this.specimen, tester.run === null ? '' : tester.run.specimen);
    this.alarms.set(tester.alarms);
    setText(this.mode, modeLine[tester.mode] ?? '');
    setText(this.asked, tester.drive === null ? askedNow(tester, condition === 'live') : heaterCardLine(tester.drive, condition === 'live'));
    setAttribute(this.asked, 'data-tripped', String(tester.drive?.trips.some(isTrouble) ?? false));
    setText(this.outcome, outcomeWords(tester));
    this.renderStatus(tester);
    this.bench.set(condition === 'live' ? tester.status : null, tester.mode === 'driven', tester.ambient ?? null);
    this.renderThermometer(tester, scene.now);
    const trouble = tester.connection === 'up' ? '' : (tester.connectionText ?? '');
    setText(this.trouble, [trouble, troubleWords(tester)].filter((text) => text !== '').join(' · '));
    setText(this.foot, [`${tester.source} · ${ageWords(age)}`, ...(tester.ambient ?? []).map(ambientLine)].join(' · '));
  }

  private renderThermometer(tester: TesterOverview, now: number): void {
    this.thermometer.set(labelledSensor(tester.thermometer.steps), standingToday(tester.thermometer));
    const { status } = tester;
    setText(this.signal, status === null ? '' : signalWords(status, tester.thermometer.signalUnit));
    setText(this.note, status === null ? '' : noteWords(status.thermometerMarks));
    this.speech.set(tester.name, status?.thermometerMarks ?? null, now);
  }

  private renderStatus(tester: TesterOverview): void {
    setShown(this.values, tester.status !== null);
    setShown(this.facts, tester.status !== null);
    const check = tester.status?.detectorCheck ?? null;
    setShown(this.check, check !== null);
    setText(this.check, check === null ? '' : detectorCheckWords(check));
    setAttribute(this.check, 'data-trust', check?.trust ?? 'good');
    if (tester.status === null) return;
    const fault = faultLine(tester.status);
    const status = currentOnly(tester.status);
    const struck = fault !== null && status.temperatureCelsius !== null;
    setText(this.figure, celsius(status.temperatureCelsius).replace('none', 'no reading'));
    setText(this.notCurrent, struck ? 'Not current: ' : '');
    this.temperature.classList.toggle('struck', struck);
    setText(this.fault, fault ?? '');
    const rate = rateFigure(status);
    setText(this.rate, rate !== null ? `${rate} °C/min` : fault === null ? 'rate not known yet' : 'rate not known now');
    setText(this.bandLine, bandLine(status));
    setAttribute(this.bandLine, 'data-side', besideBand(status.rateCelsiusPerMinute, status.band));
    this.gauge.set(status.rateCelsiusPerMinute, status.rateUncertaintyCelsiusPerMinute, status.band);
    setText(this.next, nextApplication(status) ?? 'none due');
    setText(this.detector, detectorWords(tester));
    const second = tester.status?.secondDetector ?? null;
    setShown(this.secondFact, second !== null);
    setText(this.second, second === null ? '' : fixed(second, 2));
    const points = [
      status.observedFlashCelsius === null ? null : `✷ flash ${celsius(status.observedFlashCelsius)}`,
      status.observedFireCelsius === null ? null : `◆ fire ${celsius(status.observedFireCelsius)}`,
    ].filter((text) => text !== null);
    setShown(this.observed, tester.run !== null && tester.run.closedAt === null);
    setText(this.points, points.length === 0 ? 'no flash yet' : points.join(' · '));
  }
}

/** What the newest run said, once it is over. */
function outcomeWords(tester: TesterOverview): string {
  if (tester.run === null) return 'Open to start a run.';
  if (tester.run.closedAt === null && !tester.run.interrupted) return '';
  const result = tester.run.result;
  if (result === null) return tester.run.interrupted ? 'The service ended before this run was closed.' : '';
  const { glyph, word } = verdictWords[result.verdict];
  const flash = result.flash === null ? 'no flash point' : `flash point ${reported(result.flash)}`;
  const fire = result.fire === null ? 'no fire point' : `fire point ${reported(result.fire)}`;
  return `${glyph} ${word} · ${flash} · ${fire}`;
}

function detectorWords(tester: TesterOverview): string {
  const status = tester.status;
  if (status === null || status.detector === null) return 'no reading';
  const value = fixed(status.detector, 2);
  if (status.burningSeconds !== null) return `burning for ${duration(status.burningSeconds)}`;
  if (status.flameOver === null) return value;
  return status.flameOver ? `${value}, flame over the cup` : `${value}, flame away`;
}
