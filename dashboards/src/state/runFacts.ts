import type { Application, ApplicationEvidence, BandEntered, RunOutput, RunPhase } from '../contract';
import { standing } from './standingFacts';

/** A phase with the time it was entered and left; `to` is null for the phase that still holds. s. */
export interface PhaseSpan {
  readonly phase: RunPhase;
  readonly from: number;
  readonly to: number | null;
}

/** One application as far as it is known: started, and perhaps judged. */
export interface ApplicationMark {
  readonly number: number;
  readonly timeSeconds: number;
  readonly temperatureCelsius: number;
  readonly evidence: ApplicationEvidence;
  readonly judged: Application | null;
}

/** An allowed band with the time at which it stopped to rule; null while it still does. s. */
export interface BandSpan {
  readonly entered: BandEntered;
  readonly endSeconds: number | null;
}

export interface PointMark {
  readonly timeSeconds: number;
  readonly temperatureCelsius: number;
}

export interface AlarmMark {
  readonly code: string;
  readonly text: string;
  readonly fromSeconds: number;
  readonly toSeconds: number | null;
}

/** What the events of a run amount to, ordered for drawing. */
export interface RunFacts {
  readonly phases: readonly PhaseSpan[];
  readonly bands: readonly BandSpan[];
  readonly applications: readonly ApplicationMark[];
  readonly flash: PointMark | null;
  readonly fire: PointMark | null;
  readonly alarms: readonly AlarmMark[];
}

/** Facts while they are being gathered. */
interface Draft {
  readonly phases: PhaseSpan[];
  readonly bands: BandSpan[];
  readonly applications: Map<number, ApplicationMark>;
  readonly alarms: AlarmMark[];
  flash: PointMark | null;
  fire: PointMark | null;
}

/** Reads a run's events once, in order, without those that were taken back. */
export function readFacts(events: readonly RunOutput[]): RunFacts {
  const draft: Draft = { phases: [], bands: [], applications: new Map(), alarms: [], flash: null, fire: null };
  for (const event of standing(events)) take(draft, event);
  // Before the supervisor has stated anything, the cup is charged and waits.
  if (draft.phases.length === 0) draft.phases.push({ phase: 'ready', from: 0, to: null });
  return { ...draft, applications: [...draft.applications.values()].sort((a, b) => a.number - b.number) };
}

function take(draft: Draft, event: RunOutput): void {
  const { phases, bands, applications, alarms } = draft;
  switch (event.kind) {
    case 'phase-changed':
      endLastPhase(phases, event.from, event.atSeconds);
      phases.push({ phase: event.to, from: event.atSeconds, to: null });
      if (event.to === 'cooling' || event.to === 'closed') endLastBand(bands, event.atSeconds);
      return;
    case 'band-entered':
      endLastBand(bands, event.atSeconds);
      bands.push({ entered: event, endSeconds: null });
      return;
    case 'application-started':
      applications.set(event.number, { ...event, timeSeconds: event.atSeconds, judged: null });
      return;
    case 'application-judged':
      applications.set(event.application.number, { ...event.application, judged: event.application });
      return;
    case 'flash-detected':
      if (event.temperatureCelsius !== null) draft.flash ??= { timeSeconds: event.atSeconds, temperatureCelsius: event.temperatureCelsius };
      return;
    case 'fire-detected':
      if (event.temperatureCelsius !== null) draft.fire ??= { timeSeconds: event.onsetSeconds, temperatureCelsius: event.temperatureCelsius };
      return;
    case 'alarm-raised':
      alarms.push({ code: event.code, text: event.text, fromSeconds: event.atSeconds, toSeconds: null });
      return;
    case 'alarm-cleared':
      endAlarm(alarms, event.code, event.atSeconds);
      return;
    case 'run-closed':
      endLastPhase(phases, 'closed', event.atSeconds);
      endLastBand(bands, event.atSeconds);
      for (const alarm of alarms) endAlarm(alarms, alarm.code, event.atSeconds);
      return;
    case 'application-prompted':
    case 'observation-made':
    case 'observation-withdrawn':
    case 'heater-turned-on':
    case 'heater-cut':
    case 'axis-begun':
    case 'run-resumed':
    case 'run-interrupted':
    case 'burn-ended':
    case 'finding-raised':
      return;
  }
}

function endLastPhase(phases: PhaseSpan[], phase: RunPhase, at: number): void {
  const last = phases.at(-1);
  if (last === undefined) {
    phases.push({ phase, from: 0, to: at });
  } else if (last.to === null) {
    phases[phases.length - 1] = { ...last, to: at };
  }
}

function endLastBand(bands: BandSpan[], at: number): void {
  const last = bands.at(-1);
  if (last !== undefined && last.endSeconds === null) bands[bands.length - 1] = { ...last, endSeconds: at };
}

function endAlarm(alarms: AlarmMark[], code: string, at: number): void {
  const index = alarms.findLastIndex((alarm) => alarm.code === code && alarm.toSeconds === null);
  const alarm = alarms[index];
  if (alarm !== undefined) alarms[index] = { ...alarm, toSeconds: at };
}
