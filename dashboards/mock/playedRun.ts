import type { MethodDefinition, RunDetail, RunMode, RunOutput, RunPlan, RunStatus, RunSummary, RunUpdate, StandingAlarm } from '../src/contract';
import { step } from './bench';
import { makeScript, type Script } from './script';
import { manyFigures, noFigures, statementOf } from './statement';
import { thermometerOf, type MockThermometer } from './thermometers';

/** What an invented run is made of. */
export interface Part {
  readonly testerId: string;
  readonly specimen: string;
  readonly expected: number;
  readonly pressure: number | null;
  /** Where the run stands now, s, and how much faster than life it plays. */
  readonly at: number;
  readonly speed: number;
  /** How long ago it was started, s. */
  readonly startedAgo: number;
  /** Whether the heat is turned off before the specimen goes on burning. */
  readonly endsBeforeFire?: boolean;
  readonly mode?: RunMode;
}

/** A script that plays against the clock of the browser. */
export class PlayedRun {
  private readonly script: Script;
  private readonly thermometer: MockThermometer;
  private readonly plan: RunPlan;
  private readonly booked: RunSummary;
  private readonly origin: number;

  constructor(
    readonly id: string,
    private readonly part: Part,
    method: MethodDefinition,
    seed: number,
  ) {
    const { testerId, specimen, expected, pressure } = part;
    this.thermometer = thermometerOf(testerId);
    this.script = makeScript({ method, expected, pressure, untilFire: part.endsBeforeFire !== true, hasSecond: testerId === 'north' }, seed, this.thermometer);
    this.plan = {
      method,
      expectedFlashCelsius: expected,
      scouting: false,
      specificationCelsius: null,
      fineStep: false,
      stationPressureKilopascals: pressure,
      barometer: null,
      mode: this.mode,
      promptLeadSeconds: 5,
      material: null,
      hasFlameSignal: true,
      thermometer: this.thermometer.chain,
      temperaturesAsRead: false,
      madeOn: new Date(Date.now() - part.startedAgo * 1000).toISOString().slice(0, 10),
      figures: testerId === 'north' ? manyFigures : noFigures,
      firstApplicationCelsius: expected - (method.applications?.firstBelowExpectedCelsius ?? 0),
    };
    this.booked = {
      id,
      testerId,
      methodId: method.id,
      specimen,
      expectedFlashCelsius: expected,
      startedAt: new Date(Date.now() - part.startedAgo * 1000).toISOString(),
      closedAt: null,
      archivedRows: 0,
      interrupted: false,
      result: null,
      scouting: false,
      specificationCelsius: null,
      corrections: 0,
      resumed: 0,
      importedFrom: null,
      damage: null,
    };
    this.origin = Date.now() - (part.at / part.speed) * 1000;
  }

  get mode(): RunMode {
    return this.part.mode ?? 'observed';
  }

  /** Points so far. */
  get points(): number {
    const seconds = ((Date.now() - this.origin) / 1000) * this.part.speed;
    return Math.min(this.script.time.length, Math.floor(seconds / step));
  }

  get isOver(): boolean {
    return this.points >= this.script.time.length;
  }

  get summary(): RunSummary {
    const summary = { ...this.booked, archivedRows: this.points * 6 };
    if (!this.isOver) return summary;
    const length = (this.script.time.at(-1) ?? 0) * 1000;
    return { ...summary, closedAt: new Date(Date.parse(summary.startedAt) + length).toISOString(), result: this.script.result };
  }

  get status(): RunStatus | null {
    return this.isOver ? null : (this.script.status[this.points - 1] ?? null);
  }

  get events(): readonly RunOutput[] {
    if (this.isOver) return this.script.events;
    const until = this.script.time[this.points - 1] ?? -1;
    return this.script.events.filter((event) => event.atSeconds <= until);
  }

  get alarms(): readonly StandingAlarm[] {
    const standing = new Map<string, StandingAlarm>();
    if (this.isOver) return [];
    for (const event of this.events) {
      if (event.kind === 'alarm-raised') standing.set(event.code, { code: event.code, text: event.text, since: this.booked.startedAt });
      if (event.kind === 'alarm-cleared') standing.delete(event.code);
    }
    return [...standing.values()];
  }

  get detail(): RunDetail {
    const statement = this.isOver ? statementOf(this.script.result, this.plan) : null;
    const audit = { corrections: [], results: [], approvals: [], holds: [], onHold: false, originalResult: null, remark: null, approved: false, imports: [] };
    return { summary: this.summary, plan: this.plan, events: this.events, thermometerSteps: this.thermometer.steps, statement, wireBytes: null, audit };
  }

  /** What a reader that holds so many points and events has not seen. */
  since(from: number, eventsFrom: number): RunUpdate {
    const { time, temperature, low, high, flame, secondLow, secondHigh } = this.script;
    const to = this.points;
    return {
      curve: {
        from,
        time: time.slice(from, to),
        temperature: temperature.slice(from, to),
        detectorLow: low.slice(from, to),
        detectorHigh: high.slice(from, to),
        flame: flame.slice(from, to),
        secondDetectorLow: secondLow.length === 0 ? null : secondLow.slice(from, to),
        secondDetectorHigh: secondHigh.length === 0 ? null : secondHigh.slice(from, to),
      },
      eventsFrom,
      events: this.events.slice(eventsFrom),
      status: this.status,
      summary: this.summary,
    };
  }
}
