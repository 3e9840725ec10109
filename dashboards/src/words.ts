import type { ApplicationEvidence, PortionOutcome, RunOutput, RunPhase, Sighting, Verdict } from './contract';
import { band, celsius, duration, fixed } from './format';
import type { Condition } from './state/testersView';

export const phaseWords: Record<RunPhase, string> = {
  ready: 'Ready',
  'fast-heating': 'Fast heating',
  'controlled-heating': 'Controlled heating',
  'applying-test-flame': 'Applying test flame',
  'heating-to-fire-point': 'Heating to fire point',
  cooling: 'Cooling',
  closed: 'Closed',
  'setting-temperature': 'Setting temperature',
  'awaiting-portion': 'Charge a portion',
  'portion-waiting': 'Portion waiting',
  'clearing-cup': 'Clean the cup',
};

/** What a test portion did. */
export const outcomeWords: Record<PortionOutcome, string> = { 'no-flash': 'no flash', halo: 'halo, no flash', flash: 'flash', uncertain: 'uncertain' };

export const conditionWords: Record<Condition, string> = {
  live: 'Live',
  stale: 'Stale',
  'no-data': 'No data yet',
  connecting: 'Connecting',
  'source-down': 'Source down',
  'no-news': 'No news',
};

/** One glyph each, so that the state reads without colour. */
export const conditionGlyphs: Record<Condition, string> = {
  live: '●',
  stale: '◐',
  'no-data': '○',
  connecting: '◌',
  'source-down': '✕',
  'no-news': '?',
};

export const verdictWords: Record<Verdict, { readonly glyph: string; readonly word: string; readonly meaning: string }> = {
  valid: { glyph: '✓', word: 'Valid', meaning: 'No finding speaks against the run.' },
  doubtful: { glyph: '?', word: 'Doubtful', meaning: 'A finding asks for the analyst’s judgement.' },
  invalid: { glyph: '✕', word: 'Invalid', meaning: 'The run does not count.' },
};

export const evidenceWords: Record<ApplicationEvidence, string> = {
  'flame-signal': 'flame signal',
  'detector-signature': 'seen by detector',
  schedule: 'schedule only',
  person: 'seen by a person',
};

/** What a person saw, as on the keys. */
export const sightingWords: Record<Sighting, string> = {
  nothing: 'nothing',
  halo: 'halo',
  flash: 'flash',
  burning: 'burning',
  'went-out': 'went out',
};

/** A stable code as words: heating-too-fast becomes Heating too fast. */
export function codeWords(code: string): string {
  const text = code.replaceAll('-', ' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** One line for the log of a run. */
export function eventWords(event: RunOutput): string {
  switch (event.kind) {
    case 'phase-changed':
      return `${phaseWords[event.to]}${event.temperatureCelsius === null ? '' : ` from ${celsius(event.temperatureCelsius)}`}`;
    case 'band-entered':
      return `Allowed rate ${band(event.band)} from ${celsius(event.temperatureCelsius)}${event.untilCelsius === null ? '' : ` up to ${celsius(event.untilCelsius)}`}`;
    case 'application-prompted':
      return `Asked for application ${event.number}, due at ${celsius(event.dueCelsius)}`;
    case 'observation-made':
      return `Recorded by hand: ${sightingWords[event.seen]}${by(event.person)}`;
    case 'observation-withdrawn':
      return `Taken back: ${sightingWords[event.seen]}, recorded ${duration(event.atSeconds - event.observedSeconds)} before${by(event.person)}`;
    case 'heater-turned-on':
      return `Heater turned on by ${event.person}`;
    case 'heater-cut':
      return `${event.wasOn ? 'Heater cut' : 'Heater stays off'}: ${event.text}`;
    case 'temperature-set':
      return `Test ${event.number}: set ${celsius(event.setCelsius)}`;
    case 'portion-charged':
      return `Portion charged${event.millilitres === null ? '' : `, ${fixed(event.millilitres, 2)} mL`}${event.person === null ? '' : ` (${event.person})`}`;
    case 'portion-tested':
      return `Portion ${event.test.number} at ${celsius(event.test.setCelsius)}: ${outcomeWords[event.test.outcome]}${event.test.counts ? '' : ', does not count'}`;
    case 'application-started':
      return `Application ${event.number} at ${celsius(event.temperatureCelsius)} (${evidenceWords[event.evidence]})`;
    case 'application-judged':
      return `Application ${event.application.number}: ${event.application.flash ? 'flash' : 'no flash'}${event.application.evidence === 'person' ? '' : ` (${fixed(event.application.significance, 1)} σ)`}`;
    case 'flash-detected':
      return `Flash ${readAt(event.temperatureCelsius)}, application ${event.applicationNumber}`;
    case 'burn-ended':
      return `Burned for ${duration(event.durationSeconds)} and went out`;
    case 'fire-detected':
      return `Fire point ${readAt(event.temperatureCelsius)}`;
    case 'finding-raised':
      return `Finding: ${event.finding.text}`;
    case 'alarm-raised':
      return `Alarm: ${event.text}`;
    case 'alarm-cleared':
      return `Alarm over: ${codeWords(event.code)}`;
    case 'axis-begun':
      return event.testersTime ? 'First reading; times are the tester’s own' : 'First reading; times are those of arrival';
    case 'run-resumed':
      return `The service had stopped${event.secondsAway === null ? '' : ` ${about(event.secondsAway, event.uncertaintySeconds)}`} and took the run up again here${event.softwareBefore === event.softwareAfter ? '' : `, as version ${event.softwareAfter} after ${event.softwareBefore}`}. Nothing was recorded meanwhile`;
    case 'run-interrupted':
      return `Interrupted: ${event.text}`;
    case 'run-closed':
      return `Record closed: ${verdictWords[event.result.verdict].word.toLowerCase()}`;
  }
}

function about(seconds: number, uncertainty: number | null): string {
  return `for about ${duration(seconds)}${uncertainty === null ? '' : ` (±${duration(uncertainty)})`}`;
}

function by(person: string | null): string {
  return person === null ? '' : `, by ${person}`;
}

// A point without a thermometer reading near it has no temperature; the last one that came would be a lie.
function readAt(temperatureCelsius: number | null): string {
  return temperatureCelsius === null ? 'at a temperature that was not read' : `at ${celsius(temperatureCelsius)}`;
}
