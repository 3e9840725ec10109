import type { Application, Finding, MethodDefinition, Range, RunOutput, RunPhase, RunResult, RunStatus } from '../src/contract';
import { detectorLevel, heatingRate, noise, round, secondLevel, step } from './bench';
import type { MockThermometer } from './thermometers';
import { ThermometerWatch } from './thermometerWatch';

/** One invented run, whole: points a fifth of a second apart, with events and status by time. */
export interface Script {
  readonly time: readonly number[];
  readonly temperature: readonly (number | null)[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  readonly flame: readonly boolean[];
  /** Empty where the tester has no second detector. */
  readonly secondLow: readonly (number | null)[];
  readonly secondHigh: readonly (number | null)[];
  readonly events: readonly RunOutput[];
  readonly status: readonly RunStatus[];
  readonly result: RunResult;
}

/** What is played. */
export interface Play {
  readonly method: MethodDefinition;
  readonly expected: number;
  /** kPa; null where nobody read it. */
  readonly pressure: number | null;
  readonly untilFire: boolean;
  readonly hasSecond: boolean;
}

interface Onset {
  readonly seconds: number;
  readonly celsius: number;
}

/** Heating fast, eased, too fast for a while, applications with a growing halo, a flash, short burns, a fire point, cooling. */
export function makeScript(play: Play, seed: number, thermometer: MockThermometer): Script {
  const writer = new ScriptWriter(play, seed, thermometer);
  while (writer.step());
  return writer.close();
}

class ScriptWriter {
  private readonly time: number[] = [];
  private readonly temperatures: (number | null)[] = [];
  private readonly low: number[] = [];
  private readonly high: number[] = [];
  private readonly flame: boolean[] = [];
  private readonly secondLow: number[] = [];
  private readonly secondHigh: number[] = [];
  private readonly events: RunOutput[] = [];
  private readonly status: RunStatus[] = [];
  private readonly applications: Application[] = [];
  private readonly findings: Finding[] = [];
  private readonly random: () => number;
  private readonly secondRandom: () => number;
  private readonly thermometer: ThermometerWatch;
  private readonly ease: number;
  private readonly controlledFrom: number;
  private due: number;
  private phase: RunPhase = 'ready';
  private band: Range | null = null;
  private t = 0;
  private temperature = 62;
  private rate = 0;
  private passFrom: number | null = null;
  private flash: Onset | null = null;
  private fire: Onset | null = null;
  private burningFrom: number | null = null;
  private coolingFrom: number | null = null;
  private hotFrom: number | null = null;
  private warned = false;

  private readonly rules: TwoRates;
  private readonly method: MethodDefinition;
  private readonly expected: number;

  constructor(
    private readonly play: Play,
    seed: number,
    thermometer: MockThermometer,
  ) {
    const { method, expected } = play;
    [this.method, this.expected] = [method, expected];
    this.random = noise(seed);
    this.secondRandom = noise(seed + 1000);
    this.thermometer = new ThermometerWatch(thermometer);
    this.rules = twoRates(method);
    this.ease = expected - this.rules.ease;
    this.controlledFrom = expected - this.rules.controlledFrom;
    this.due = expected - this.rules.first;
  }

  /** Writes the next point; false once the cup has cooled for two minutes. */
  step(): boolean {
    this.t = round(this.time.length * step + step / 2, 1);
    this.heat();
    this.changePhase();
    this.warn();
    this.apply();
    this.burn();
    this.judge();
    this.turnOff();
    this.events.push(...this.thermometer.take(this.t, this.temperature));
    this.write();
    return this.coolingFrom === null || this.t - this.coolingFrom < 120;
  }

  close(): Script {
    const { pressure, untilFire } = this.play;
    const { standardKilopascals, coefficientCelsiusPerKilopascal } = this.method.barometric;
    const station = pressure ?? standardKilopascals;
    const end = (code: string, weight: Finding['weight'], value: number, limit: number | null, text: string): Finding => ({ code, weight, timeSeconds: this.t, temperatureCelsius: null, value, limit, text });
    if (pressure === null) this.findings.push(end('pressure-assumed', 'note', station, null, `Nobody gave the station pressure; ${station} kPa was assumed and no correction was made.`));
    if (!untilFire) this.findings.push(end('no-fire-point', 'doubtful', 0, this.method.firePoint.sustainedSeconds, `The longest burn lasted 0 s of the ${this.method.firePoint.sustainedSeconds} s needed.`));
    this.findings.push(...this.thermometer.findings(this.t));
    const point = (of: Onset | null): RunResult['flash'] => {
      if (of === null) return null;
      const corrected = of.celsius + coefficientCelsiusPerKilopascal * (standardKilopascals - station);
      return { observedCelsius: of.celsius, correctedCelsius: round(corrected, 3), reportedCelsius: Math.round(corrected), timeSeconds: of.seconds };
    };
    const result: RunResult = { verdict: 'doubtful', flash: point(this.flash), fire: point(this.fire), stationKilopascals: station, applications: this.applications, findings: this.findings, next: null, equilibrium: null, detectorCheck: null, reasons: this.findings.filter((finding) => finding.weight !== 'note') };
    this.enter('closed');
    this.events.push({ kind: 'run-closed', atSeconds: this.t, result });
    return { time: this.time, temperature: this.temperatures, low: this.low, high: this.high, flame: this.flame, secondLow: this.secondLow, secondHigh: this.secondHigh, events: this.events, status: this.status, result };
  }

  private heat(): void {
    if (this.hotFrom === null && this.temperature > this.controlledFrom + 5) this.hotFrom = this.t;
    const tooHot = this.hotFrom !== null && this.t - this.hotFrom < 34;
    const cooling = this.coolingFrom !== null;
    const target = this.t < 12 ? 0 : tooHot ? 6.9 : heatingRate(this.temperature, this.ease, cooling);
    this.rate += (target - this.rate) * (step / (cooling ? 25 : 9));
    this.temperature += (this.rate / 60) * step;
  }

  private changePhase(): void {
    const { fast, controlled } = this.rules;
    if (this.phase === 'ready' && this.t > 12) {
      this.enter('fast-heating');
      this.rule(fast, this.ease);
    } else if (this.phase === 'fast-heating' && this.temperature >= this.ease) {
      this.enter('controlled-heating');
    } else if (this.phase === 'controlled-heating' && this.band !== controlled && this.temperature >= this.controlledFrom) {
      this.rule(controlled, null);
    }
  }

  private warn(): void {
    if (this.hotFrom === null) return;
    const since = this.t - this.hotFrom;
    if (!this.warned && since > 10 && since < 30) {
      this.warned = true;
      this.events.push({ kind: 'alarm-raised', atSeconds: this.t, code: 'heating-too-fast', text: 'The specimen heats at 6.7 °C/min; the method allows 5 to 6 °C/min here. Reduce the heat.' });
    } else if (this.warned && since > 48 && this.findings.length === 0) {
      const finding: Finding = { code: 'rate-too-fast', weight: 'doubtful', timeSeconds: round(this.t - 20, 1), temperatureCelsius: round(this.temperature - 2.2, 1), value: 6.8, limit: 6, text: 'The mean rate was up to 6.8 °C/min for 24 s; the method allows 6 °C/min. Accept only with a reason, or repeat.' };
      this.findings.push(finding);
      this.events.push({ kind: 'alarm-cleared', atSeconds: this.t, code: 'heating-too-fast' }, { kind: 'finding-raised', atSeconds: this.t, finding });
    }
  }

  private apply(): void {
    if (this.passFrom !== null || this.burningFrom !== null || this.coolingFrom !== null || this.temperature < this.due) return;
    this.passFrom = this.t;
    this.due += this.rules.interval;
    this.enter('applying-test-flame');
    this.events.push({ kind: 'application-started', atSeconds: this.t, number: this.applications.length + 1, temperatureCelsius: round(this.temperature, 2), evidence: 'flame-signal' });
  }

  private burn(): void {
    if (this.flashes() && this.flash === null) {
      this.flash = { seconds: this.t, celsius: round(this.temperature, 1) };
      this.events.push({ kind: 'flash-detected', atSeconds: this.t, temperatureCelsius: this.flash.celsius, applicationNumber: this.applications.length + 1 });
    }
    if (this.flashes() && this.burningFrom === null && this.fire === null && this.temperature > this.expected + 21) {
      this.burningFrom = this.t;
      this.events.push({ kind: 'alarm-raised', atSeconds: this.t, code: 'specimen-burning', text: 'The specimen is burning. Have the lid at hand.' });
    }
    if (this.burningFrom === null) return;
    const burned = this.t - this.burningFrom;
    const lasts = this.temperature >= this.expected + 25.5;
    if (!lasts && burned > 2.6) {
      this.events.push({ kind: 'burn-ended', atSeconds: this.t, onsetSeconds: this.burningFrom, durationSeconds: round(burned, 1) });
      this.putOut();
    } else if (lasts && burned >= 5 && this.fire === null) {
      this.fire = { seconds: this.burningFrom, celsius: round(this.temperature - 0.45, 1) };
      this.events.push({ kind: 'fire-detected', atSeconds: this.t, onsetSeconds: this.burningFrom, temperatureCelsius: this.fire.celsius });
    } else if (lasts && burned > 9) {
      this.putOut();
      this.coolingFrom = this.t;
      this.band = null;
      this.enter('cooling');
    }
  }

  /** The heat is turned off some passes after the flash where no fire point is wanted. */
  private turnOff(): void {
    if (this.play.untilFire || this.coolingFrom !== null || this.flash === null || this.t - this.flash.seconds < 70) return;
    this.coolingFrom = this.t;
    this.band = null;
    this.enter('cooling');
  }

  private judge(): void {
    const since = this.sincePass();
    if (this.passFrom === null || since < 3 || (this.burningFrom !== null && since < 6)) return;
    const number = this.applications.length + 1;
    const flash = this.temperature >= this.expected + 3.3;
    const application: Application = {
      number,
      timeSeconds: this.passFrom,
      temperatureCelsius: round(this.temperature - 0.27, 2),
      durationSeconds: round(0.95 + Math.abs(this.random()) * 0.2, 2),
      evidence: 'flame-signal',
      flash,
      significance: round(flash ? 62 + this.random() * 14 : 2 + number * 0.25 + this.random(), 1),
      unlit: false,
    };
    this.passFrom = null;
    this.applications.push(application);
    this.events.push({ kind: 'application-judged', atSeconds: this.t, application });
    if (this.coolingFrom === null) this.enter(this.flash === null ? 'controlled-heating' : 'heating-to-fire-point');
  }

  private write(): void {
    const over = this.sincePass() < 1;
    const level = detectorLevel(this.applications.length, this.sincePass(), this.flashes(), this.burningFrom !== null, this.random());
    const lost = (this.t > 300 && this.t < 303.4) || this.thermometer.isOpen(this.t);
    this.time.push(this.t);
    this.temperatures.push(lost ? null : round(this.temperature + this.random() * 0.03, 2));
    this.low.push(round(level - 0.006 - Math.abs(this.random()) * 0.006 - (over ? 0.03 : 0), 4));
    this.high.push(round(level + 0.006 + Math.abs(this.random()) * 0.006, 4));
    this.flame.push(over);
    this.status.push(this.statusNow(over, level));
    this.writeSecond(level);
  }

  private writeSecond(level: number): void {
    if (!this.play.hasSecond) return;
    const second = secondLevel(level, this.sincePass(), this.secondRandom());
    const width = 0.06 + 0.05 * Math.abs(this.secondRandom());
    this.secondLow.push(round(second - width, 3));
    this.secondHigh.push(round(second + width, 3));
    this.status.push({ ...this.status.pop()!, secondDetector: round(second, 3) });
  }

  private statusNow(over: boolean, level: number): RunStatus {
    const known = this.t > 15;
    const next = this.phase === 'ready' || this.coolingFrom !== null || this.fire !== null ? null : this.due;
    return {
      phase: this.phase,
      atSeconds: this.t,
      ...this.thermometer.status(this.t, this.temperature, known ? this.rate : null),
      portions: null,
      heaterFraction: null,
      stirrerRevolutionsPerMinute: null,
      stirring: null,
      lit: true,
      airMetresPerSecond: null,
      ambientCelsius: round(23.1 + this.random() * 0.05, 1),
      rateCelsiusPerMinute: known ? round(this.rate + this.random() * 0.05, 2) : null,
      rateUncertaintyCelsiusPerMinute: known ? 0.08 : null,
      band: this.band,
      nextApplicationCelsius: next,
      secondsToNextApplication: next === null || this.rate < 1 ? null : round(Math.max(0, ((next - this.temperature) / this.rate) * 60), 1),
      promptNumber: null,
      promptDueCelsius: null,
      withdrawableSighting: null,
      withdrawableAtSeconds: null,
      withdrawableSeconds: null,
      applications: this.applications.length + (this.passFrom === null ? 0 : 1),
      flameOver: over,
      detector: round(level, 3),
      secondDetector: null,
      observedFlashCelsius: this.flash?.celsius ?? null,
      observedFireCelsius: this.fire?.celsius ?? null,
      detectorCheck: this.t < 5 ? null : {
        readingsPerSecond: 50, noise: 0.0041, leastFlash: 0.031, quietSeconds: round(Math.min(this.t, 240), 1), wildReadings: 0, longestGapSeconds: 0.02, reasons: [], trust: 'good', wildPerMinute: 0,
      },
      burningSeconds: this.burningFrom === null ? null : round(this.t - this.burningFrom, 1),
    };
  }

  private enter(to: RunPhase): void {
    if (to === this.phase) return;
    this.events.push({ kind: 'phase-changed', atSeconds: this.t, from: this.phase, to, temperatureCelsius: round(this.temperature, 2) });
    this.phase = to;
  }

  private rule(band: Range, untilCelsius: number | null): void {
    this.band = band;
    this.events.push({ kind: 'band-entered', atSeconds: this.t, temperatureCelsius: round(this.temperature, 2), band, untilCelsius });
  }

  private putOut(): void {
    this.burningFrom = null;
    this.events.push({ kind: 'alarm-cleared', atSeconds: this.t, code: 'specimen-burning' });
  }

  private sincePass(): number {
    return this.passFrom === null ? Number.POSITIVE_INFINITY : this.t - this.passFrom;
  }

  /** A vapour that lights half a second after the flame came over the cup. */
  private flashes(): boolean {
    return this.sincePass() > 0.5 && this.passFrom !== null && this.temperature >= this.expected + 3.3;
  }
}

interface TwoRates {
  readonly fast: Range;
  readonly controlled: Range;
  readonly ease: number;
  readonly controlledFrom: number;
  readonly first: number;
  readonly interval: number;
}

/** The feed plays only methods that heat fast first. */
function twoRates({ id, ramp, applications }: MethodDefinition): TwoRates {
  const { fastHeatingCelsiusPerMinute: fast, easeBelowExpectedCelsius: ease, controlledFromBelowExpectedCelsius: controlledFrom } = ramp ?? {};
  if (!ramp || !applications || !fast || typeof ease !== 'number' || typeof controlledFrom !== 'number') throw new Error(`${id} has no two heating rates to play`);
  return { fast, controlled: ramp.controlledHeatingCelsiusPerMinute, ease, controlledFrom, first: applications.firstBelowExpectedCelsius, interval: applications.intervalCelsius };
}
