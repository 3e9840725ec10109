import type {
  AmbientOverview, AmbientReading, Application, BarometerReading, CurveStretch, DeterminedPoint, DriveOverview, DriveTrip, Finding, LaterResult, RunApproval, RunAudit, RunCorrection, RunDetail, RunHold, RunImport, RunOutput, RunPhase, RunPlan,
  RunResult, RunStatus, RunSummary, RunUpdate, Sighting, StandingAlarm, TesterOverview,
} from '../src/contract';
import { detectorCheck } from './detectorShapes';
import { method, range } from './methodShapes';
import { equilibrium, next, portions, portionTest } from './portionShapes';
import { day, flag, list, moment, number, orNull, shape, text, word, type Check } from './shape';
import { chain, mark, thermometer } from './thermometerShapes';
import { figures, statement } from './uncertaintyShapes';

// The contract once more, as checks at run time. A property renamed in contract.ts does not compile here; one renamed in the service
// changes the fixtures that the service's own tests write, and they are refused here.

const phase = word<RunPhase>({
  ready: true, 'fast-heating': true, 'controlled-heating': true, 'applying-test-flame': true, 'heating-to-fire-point': true, cooling: true, closed: true,
  'setting-temperature': true, 'awaiting-portion': true, 'portion-waiting': true, 'clearing-cup': true,
});
const evidence = word<Application['evidence']>({ 'flame-signal': true, 'detector-signature': true, schedule: true, person: true });

const application = shape<Application>({
  number, timeSeconds: number, temperatureCelsius: number, durationSeconds: orNull(number), evidence, flash: flag, significance: number, unlit: flag,
});

const finding = shape<Finding>({
  code: text, weight: word<Finding['weight']>({ note: true, doubtful: true, invalid: true }), timeSeconds: number,
  temperatureCelsius: orNull(number), value: orNull(number), limit: orNull(number), text,
});

const point = shape<DeterminedPoint>({ observedCelsius: number, correctedCelsius: number, reportedCelsius: orNull(number), timeSeconds: number });

const result = shape<RunResult>({
  verdict: word<RunResult['verdict']>({ valid: true, doubtful: true, invalid: true }), flash: orNull(point), fire: orNull(point),
  stationKilopascals: number, applications: list(application), findings: list(finding), next: orNull(next), equilibrium: orNull(equilibrium), detectorCheck: orNull(detectorCheck), reasons: list(finding),
});

const sighting = word<Sighting>({ nothing: true, halo: true, flash: true, burning: true, 'went-out': true });
const mode = word<RunPlan['mode']>({ observed: true, guided: true, driven: true });

/** The checks of each kind of fact; `kind` and `atSeconds` are those of all. */
const kinds: { readonly [K in RunOutput['kind']]: Check<Extract<RunOutput, { kind: K }>> } = {
  'phase-changed': shape({ kind: word({ 'phase-changed': true }), atSeconds: number, from: phase, to: phase, temperatureCelsius: orNull(number) }),
  'band-entered': shape({ kind: word({ 'band-entered': true }), atSeconds: number, temperatureCelsius: number, band: range, untilCelsius: orNull(number) }),
  'application-prompted': shape({ kind: word({ 'application-prompted': true }), atSeconds: number, number, dueCelsius: number }),
  'observation-made': shape({
    kind: word({ 'observation-made': true }), atSeconds: number, readingSeconds: orNull(number),
    seen: sighting, person: orNull(text),
  }),
  'observation-withdrawn': shape({
    kind: word({ 'observation-withdrawn': true }), atSeconds: number, readingSeconds: orNull(number), observedSeconds: number, seen: sighting, person: orNull(text),
  }),
  'heater-turned-on': shape({ kind: word({ 'heater-turned-on': true }), atSeconds: number, readingSeconds: orNull(number), person: text }),
  'heater-cut': shape({ kind: word({ 'heater-cut': true }), atSeconds: number, readingSeconds: orNull(number), code: text, text, wasOn: flag }),
  'temperature-set': shape({ kind: word({ 'temperature-set': true }), atSeconds: number, number, setCelsius: number }),
  'portion-charged': shape({ kind: word({ 'portion-charged': true }), atSeconds: number, readingSeconds: orNull(number), millilitres: orNull(number), person: orNull(text) }),
  'portion-tested': shape({ kind: word({ 'portion-tested': true }), atSeconds: number, test: portionTest }),
  'application-started': shape({ kind: word({ 'application-started': true }), atSeconds: number, number, temperatureCelsius: number, evidence }),
  'application-judged': shape({ kind: word({ 'application-judged': true }), atSeconds: number, application }),
  'flash-detected': shape({ kind: word({ 'flash-detected': true }), atSeconds: number, temperatureCelsius: orNull(number), applicationNumber: number }),
  'burn-ended': shape({ kind: word({ 'burn-ended': true }), atSeconds: number, onsetSeconds: number, durationSeconds: number }),
  'fire-detected': shape({ kind: word({ 'fire-detected': true }), atSeconds: number, onsetSeconds: number, temperatureCelsius: orNull(number) }),
  'finding-raised': shape({ kind: word({ 'finding-raised': true }), atSeconds: number, finding }),
  'alarm-raised': shape({ kind: word({ 'alarm-raised': true }), atSeconds: number, code: text, text }),
  'alarm-cleared': shape({ kind: word({ 'alarm-cleared': true }), atSeconds: number, code: text }),
  'run-closed': shape({ kind: word({ 'run-closed': true }), atSeconds: number, result }),
  'axis-begun': shape({ kind: word({ 'axis-begun': true }), atSeconds: number, readingSeconds: orNull(number), startSeconds: number, testersTime: flag, at: moment }),
  'run-resumed': shape({
    kind: word({ 'run-resumed': true }), atSeconds: number, readingSeconds: orNull(number), at: moment,
    secondsAway: orNull(number), uncertaintySeconds: orNull(number), softwareBefore: text, softwareAfter: text,
  }),
  'run-interrupted': shape({ kind: word({ 'run-interrupted': true }), atSeconds: number, text }),
};

export const factKinds = Object.keys(kinds) as readonly RunOutput['kind'][];

export const fact: Check<RunOutput> = (value, path) => {
  const kind = (value as { readonly kind?: unknown } | null)?.kind;
  if (typeof kind !== 'string' || !Object.hasOwn(kinds, kind)) throw new Error(`${path}.kind: ${JSON.stringify(kind)} is no kind of fact`);
  return kinds[kind as RunOutput['kind']](value, path);
};

const plan = shape<RunPlan>({
  mode, promptLeadSeconds: number, method, expectedFlashCelsius: orNull(number), scouting: flag, specificationCelsius: orNull(number), fineStep: flag, material: orNull(text), stationPressureKilopascals: orNull(number), hasFlameSignal: flag, thermometer: chain, temperaturesAsRead: flag,
  barometer: orNull(shape<BarometerReading>({ source: text, kilopascals: orNull(number), ageSeconds: orNull(number), notUsed: orNull(text) })),
  madeOn: orNull(day), figures, firstApplicationCelsius: orNull(number),
});

export const summary = shape<RunSummary>({
  id: text, testerId: text, methodId: text, specimen: text, expectedFlashCelsius: orNull(number), scouting: flag, specificationCelsius: orNull(number), startedAt: moment, closedAt: orNull(moment),
  archivedRows: number, interrupted: flag, result: orNull(result), corrections: number, resumed: number, importedFrom: orNull(text), damage: orNull(text),
});

const audit = shape<RunAudit>({
  corrections: list(shape<RunCorrection>({
    number, at: moment, person: text, oldValue: orNull(text), newValue: text, reason: text,
    field: word<RunCorrection['field']>({ specimen: true, 'expected-flash': true, 'station-pressure': true, remark: true }),
  })),
  results: list(shape<LaterResult>({ number, correction: number, at: moment, softwareVersion: text, repeats: flag, result })),
  approvals: list(shape<RunApproval>({ number, at: moment, person: text, corrections: number })),
  holds: list(shape<RunHold>({ number, at: moment, person: text, held: flag, reason: text })), onHold: flag,
  originalResult: orNull(result), remark: orNull(text), approved: flag,
  imports: list(shape<RunImport>({
    number, at: moment, person: text, reason: text, softwareVersion: text, repeats: orNull(flag), bundleSha256: text,
    originArchive: text, originRun: number, originVersion: text, originLink: number, originDigest: text, signer: orNull(text),
  })),
});

export const status = shape<RunStatus>({
  phase, atSeconds: number, temperatureCelsius: orNull(number), rateCelsiusPerMinute: orNull(number), rateUncertaintyCelsiusPerMinute: orNull(number),
  band: orNull(range), nextApplicationCelsius: orNull(number), secondsToNextApplication: orNull(number), promptNumber: orNull(number), promptDueCelsius: orNull(number),
  withdrawableSighting: orNull(sighting), withdrawableAtSeconds: orNull(number), withdrawableSeconds: orNull(number), portions: orNull(portions), applications: number, flameOver: orNull(flag),
  detector: orNull(number), secondDetector: orNull(number), observedFlashCelsius: orNull(number), observedFireCelsius: orNull(number), burningSeconds: orNull(number), detectorCheck: orNull(detectorCheck),
  lagCelsius: orNull(number), thermometerSignal: orNull(number), junctionCelsius: orNull(number), thermometerMarks: list(mark),
  heaterFraction: orNull(number), stirrerRevolutionsPerMinute: orNull(number), stirring: orNull(flag), lit: orNull(flag), airMetresPerSecond: orNull(number), ambientCelsius: orNull(number),
});

const curve = shape<CurveStretch>({
  from: number, time: list(number), temperature: list(orNull(number)), detectorLow: list(orNull(number)), detectorHigh: list(orNull(number)), flame: list(flag),
  secondDetectorLow: orNull(list(orNull(number))), secondDetectorHigh: orNull(list(orNull(number))),
});

const drive = shape<DriveOverview>({
  on: flag, onBy: orNull(text), askedFraction: number, givenFraction: orNull(number), flameOver: flag, secondsSinceAcknowledged: orNull(number), highestCelsius: number,
  trips: list(shape<DriveTrip>({ code: text, text, since: moment })),
});

const counters = shape<TesterOverview['counters']>({ rows: number, malformed: number, queueFull: number, queueDepth: number, queueCapacity: number, missed: number, repeated: number, late: number });
const connection = word<TesterOverview['connection']>({ connecting: true, up: true, down: true });
const ambientReading = shape<AmbientReading>({ value: number, secondsAgo: number, stale: flag });
const ambient = shape<AmbientOverview>({
  id: text, name: text, source: text, connection, connectionText: orNull(text), counters, lastRefusal: orNull(text), staleAfterSeconds: number,
  pressureKilopascals: orNull(ambientReading), ambientCelsius: orNull(ambientReading), airMetresPerSecond: orNull(ambientReading),
});

export const overview = shape<TesterOverview>({
  id: text, name: text, source: text, connection,
  connectionText: orNull(text), secondsSinceReading: orNull(number),
  counters, lastRefusal: orNull(text), ambient: orNull(list(ambient)), alarms: list(shape<StandingAlarm>({ code: text, text, since: moment })), run: orNull(summary), status: orNull(status), thermometer,
  drive: orNull(drive), mode,
});

export const update = shape<RunUpdate>({ curve, eventsFrom: number, events: list(fact), status: orNull(status), summary });
export const detail = shape<RunDetail>({ summary, plan, events: list(fact), thermometerSteps: list(text), statement: orNull(statement), wireBytes: orNull(number), audit });
