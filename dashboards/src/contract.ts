// The JSON of the service, as in docs/api.md. Names carry the unit; a missing value is null, never zero.

import type { AmbientOverview, BarometerReading } from './ambientContract';
import type { DetectorCheck } from './detectorContract';
import type { MethodDefinition, Range } from './method';
import type { EquilibriumResult, NextRun, PortionCharged, PortionStatus, PortionTested, TemperatureSet } from './portionContract';

import type { ReadingMark, ThermometerChain, ThermometerOverview } from './thermometerContract';
import type { LaboratoryFigures, RunStatement } from './uncertaintyContract';

export type * from './ambientContract';
export type * from './configurationContract';
export type * from './detectorContract';
export type * from './influxContract';
export type * from './thermometerContract';
export type * from './uncertaintyContract';

export type RunPhase =
  | 'ready'
  | 'fast-heating'
  | 'controlled-heating'
  | 'applying-test-flame'
  | 'heating-to-fire-point'
  | 'cooling'
  | 'closed'
  | 'setting-temperature'
  | 'awaiting-portion'
  | 'portion-waiting'
  | 'clearing-cup';

export type ConnectionState = 'connecting' | 'up' | 'down';
export type ApplicationEvidence = 'flame-signal' | 'detector-signature' | 'schedule' | 'person';
export type RunMode = 'observed' | 'guided' | 'driven';
/** What a person saw at the cup of a guided run. */
export type Sighting = 'nothing' | 'halo' | 'flash' | 'burning' | 'went-out';
export type FindingWeight = 'note' | 'doubtful' | 'invalid';
export type Verdict = 'valid' | 'doubtful' | 'invalid';

export type * from './method';
export type * from './portionContract';

export interface Application {
  readonly number: number;
  readonly timeSeconds: number;
  readonly temperatureCelsius: number;
  readonly durationSeconds: number | null;
  readonly evidence: ApplicationEvidence;
  readonly flash: boolean;
  readonly significance: number;
  /** The test flame was out: no flash could show, and the application does not count. */
  readonly unlit: boolean;
}

export interface Finding {
  readonly code: string;
  readonly weight: FindingWeight;
  readonly timeSeconds: number;
  readonly temperatureCelsius: number | null;
  readonly value: number | null;
  readonly limit: number | null;
  readonly text: string;
}

export interface DeterminedPoint {
  readonly observedCelsius: number;
  readonly correctedCelsius: number;
  readonly reportedCelsius: number | null;
  readonly timeSeconds: number;
}

export interface RunResult {
  readonly verdict: Verdict;
  readonly flash: DeterminedPoint | null;
  readonly fire: DeterminedPoint | null;
  readonly stationKilopascals: number;
  readonly applications: readonly Application[];
  readonly findings: readonly Finding[];
  /** How the proper run after a scouting run begins; null for any other run. */
  readonly next: NextRun | null;
  /** What an equilibrium procedure answered; null for a run along a ramp. */
  readonly equilibrium: EquilibriumResult | null;
  /** As it stood at the flash; null where a person judged, and where there was no quiet to tell it from. */
  readonly detectorCheck: DetectorCheck | null;
  /** The findings that lowered the verdict; empty for a valid run. */
  readonly reasons: readonly Finding[];
}

interface Fact<K extends string> {
  readonly kind: K;
  readonly atSeconds: number;
}

export interface PhaseChanged extends Fact<'phase-changed'> {
  readonly from: RunPhase;
  readonly to: RunPhase;
  readonly temperatureCelsius: number | null;
}
export interface BandEntered extends Fact<'band-entered'> {
  readonly temperatureCelsius: number;
  readonly band: Range;
  readonly untilCelsius: number | null;
}
export interface ApplicationPrompted extends Fact<'application-prompted'> {
  readonly number: number;
  readonly dueCelsius: number;
}
export interface ObservationMade extends Fact<'observation-made'> {
  /** The newest reading then: the observation stands directly after it in the record. */
  readonly readingSeconds: number | null;
  readonly seen: Sighting;
  /** Who recorded it; null where nobody said. */
  readonly person: string | null;
}
/** The newest observation was taken back: what stands between the two holds no more, but for the alarms. */
export interface ObservationWithdrawn extends Fact<'observation-withdrawn'> {
  readonly readingSeconds: number | null;
  /** When the observation was made. */
  readonly observedSeconds: number;
  readonly seen: Sighting;
  readonly person: string | null;
}
export interface HeaterTurnedOn extends Fact<'heater-turned-on'> {
  readonly readingSeconds: number | null;
  readonly person: string;
}
export interface HeaterCut extends Fact<'heater-cut'> {
  readonly readingSeconds: number | null;
  readonly code: string;
  readonly text: string;
  /** Whether the heater was on until then. */
  readonly wasOn: boolean;
}
/** The first row came: what the run's time is counted from. */
export interface AxisBegun extends Fact<'axis-begun'> {
  readonly readingSeconds: number | null;
  readonly startSeconds: number;
  /** Whether rows carry the tester's own time; otherwise they are stamped as they arrive. */
  readonly testersTime: boolean;
  readonly at: string;
}
/** The service had stopped in mid-run and took the run up again. */
export interface RunResumed extends Fact<'run-resumed'> {
  readonly readingSeconds: number | null;
  readonly at: string;
  /** How long the run was without readings, by the clock of the computer; null where that clock went back. */
  readonly secondsAway: number | null;
  readonly uncertaintySeconds: number | null;
  readonly softwareBefore: string;
  readonly softwareAfter: string;
}
/** The run ended without a result. */
export interface RunInterrupted extends Fact<'run-interrupted'> {
  readonly text: string;
}
export interface ApplicationStarted extends Fact<'application-started'> {
  readonly number: number;
  readonly temperatureCelsius: number;
  readonly evidence: ApplicationEvidence;
}
export interface ApplicationJudged extends Fact<'application-judged'> {
  readonly application: Application;
}
export interface FlashDetected extends Fact<'flash-detected'> {
  readonly temperatureCelsius: number | null;
  readonly applicationNumber: number;
}
export interface BurnEnded extends Fact<'burn-ended'> {
  readonly onsetSeconds: number;
  readonly durationSeconds: number;
}
export interface FireDetected extends Fact<'fire-detected'> {
  readonly onsetSeconds: number;
  readonly temperatureCelsius: number | null;
}
export interface FindingRaised extends Fact<'finding-raised'> {
  readonly finding: Finding;
}
export interface AlarmRaised extends Fact<'alarm-raised'> {
  readonly code: string;
  readonly text: string;
}
export interface AlarmCleared extends Fact<'alarm-cleared'> {
  readonly code: string;
}
export interface RunClosed extends Fact<'run-closed'> {
  readonly result: RunResult;
}

export type RunOutput =
  | PhaseChanged
  | BandEntered
  | ApplicationPrompted
  | ObservationMade
  | ObservationWithdrawn
  | HeaterTurnedOn
  | HeaterCut
  | TemperatureSet
  | PortionCharged
  | PortionTested
  | ApplicationStarted
  | ApplicationJudged
  | FlashDetected
  | BurnEnded
  | FireDetected
  | FindingRaised
  | AlarmRaised
  | AlarmCleared
  | RunClosed
  | AxisBegun
  | RunResumed
  | RunInterrupted;

export interface RunPlan {
  readonly mode: RunMode;
  /** How long before it is due an application is asked for in a guided run, s. */
  readonly promptLeadSeconds: number;
  readonly method: MethodDefinition;
  /** Null where nothing is expected: a scouting run, or a specification that is tested. */
  readonly expectedFlashCelsius: number | null;
  readonly scouting: boolean;
  readonly specificationCelsius: number | null;
  readonly fineStep: boolean;
  /** What the specimen is, in the words of the method; null where it names none. */
  readonly material: string | null;
  readonly stationPressureKilopascals: number | null;
  /** Null where somebody gave the pressure, and where the tester has no barometer. */
  readonly barometer: BarometerReading | null;
  readonly hasFlameSignal: boolean;
  readonly thermometer: ThermometerChain;
  /** True where the temperatures stood in the record already: the chain that made them is not known. */
  readonly temperaturesAsRead: boolean;
  /** Day of the run, by which the calibration is judged; null where unknown. */
  readonly madeOn: string | null;
  readonly figures: LaboratoryFigures;
  /** Null where it is not known before the run. */
  readonly firstApplicationCelsius: number | null;
}

export interface RunStatus {
  readonly phase: RunPhase;
  readonly atSeconds: number;
  readonly temperatureCelsius: number | null;
  readonly rateCelsiusPerMinute: number | null;
  readonly rateUncertaintyCelsiusPerMinute: number | null;
  readonly band: Range | null;
  readonly nextApplicationCelsius: number | null;
  readonly secondsToNextApplication: number | null;
  /** The application a person is asked for now; null where none is. */
  readonly promptNumber: number | null;
  readonly promptDueCelsius: number | null;
  /** What the newest observation said, while it can be taken back; null otherwise. */
  readonly withdrawableSighting: Sighting | null;
  /** When it was made, and how long it can still be taken back, s. */
  readonly withdrawableAtSeconds: number | null;
  readonly withdrawableSeconds: number | null;
  /** Where an equilibrium run stands; null for a run along a ramp. */
  readonly portions: PortionStatus | null;
  readonly applications: number;
  readonly flameOver: boolean | null;
  readonly detector: number | null;
  /** Of a tester with two detectors the one that confirms; null where there is none, and once it has fallen silent. */
  readonly secondDetector: number | null;
  readonly observedFlashCelsius: number | null;
  readonly observedFireCelsius: number | null;
  readonly burningSeconds: number | null;
  /** Whether a flash can be told at the detector's rate and noise; null before there was quiet to tell it from, and where a person judges. */
  readonly detectorCheck: DetectorCheck | null;
  /** Positive: the thermometer reads too low by this much at the current ramp, °C; corrected or not. */
  readonly lagCelsius: number | null;
  /** Newest signal as sent, in the unit of the chain; null where the tester sends °C. */
  readonly thermometerSignal: number | null;
  readonly junctionCelsius: number | null;
  /** Newest power given to the heater, 0 to 1; null where it is not told, as all that follows. */
  readonly heaterFraction: number | null;
  readonly stirrerRevolutionsPerMinute: number | null;
  /** Whether the stirrer turns, by its speed or as the tester says. */
  readonly stirring: boolean | null;
  /** Whether the test flame burns. */
  readonly lit: boolean | null;
  readonly airMetresPerSecond: number | null;
  /** Temperature of the room beside the tester. */
  readonly ambientCelsius: number | null;
  readonly thermometerMarks: readonly ReadingMark[];
}

export interface RunSummary {
  readonly id: string;
  readonly testerId: string;
  readonly methodId: string;
  readonly specimen: string;
  readonly expectedFlashCelsius: number | null;
  readonly startedAt: string;
  readonly closedAt: string | null;
  readonly archivedRows: number;
  readonly interrupted: boolean;
  readonly result: RunResult | null;
  readonly scouting: boolean;
  readonly specificationCelsius: number | null;
  /** How many corrections were made after it was closed; specimen, expected flash point and result are as corrected. */
  readonly corrections: number;
  /** How many times it was taken up again after the service had stopped. */
  readonly resumed: number;
  /** Id of the archive that the run was taken from; null for a run that was made here. */
  readonly importedFrom: string | null;
  /** What of its record cannot be read, in words; its result is then left out, and a time that cannot be read is in the year 1. */
  readonly damage: string | null;
}

/** Which runs are asked for; what is null does not matter. */
export interface RunQuery {
  readonly testerId: string | null;
  /** Text that the name of the specimen contains. */
  readonly specimen: string | null;
  readonly verdict: Verdict | null;
  /** Begun then or later, ISO 8601. */
  readonly from: string | null;
  /** Begun earlier than that, ISO 8601. */
  readonly to: string | null;
  /** Those behind this run in the list, by its id. */
  readonly after: string | null;
  readonly limit: number;
}

/** What of a closed run can be corrected. */
export type CorrectedField = 'specimen' | 'expected-flash' | 'station-pressure' | 'remark';

/** A correction of a closed run: a record of its own. Values of numbers are in °C and kPa. */
export interface RunCorrection {
  readonly number: number;
  readonly at: string;
  readonly person: string;
  readonly field: CorrectedField;
  readonly oldValue: string | null;
  readonly newValue: string;
  readonly reason: string;
}

/** A result that follows from a correction. */
export interface LaterResult {
  readonly number: number;
  /** The correction that it follows from. */
  readonly correction: number;
  readonly at: string;
  readonly softwareVersion: string;
  /** Whether the program that judged anew comes to the result before where nothing was corrected. */
  readonly repeats: boolean;
  readonly result: RunResult;
}

/** Somebody answers for a closed run as it then stood. */
export interface RunApproval {
  readonly number: number;
  readonly at: string;
  readonly person: string;
  /** How many corrections the run then had. */
  readonly corrections: number;
}

/** A run is to be kept whatever its age, or need not be any longer. */
export interface RunHold {
  readonly number: number;
  readonly at: string;
  readonly person: string;
  /** True: it is to be kept. False: it is released. */
  readonly held: boolean;
  readonly reason: string;
}

/** A run came from another archive. */
export interface RunImport {
  readonly number: number;
  readonly at: string;
  readonly person: string;
  readonly reason: string;
  readonly softwareVersion: string;
  /** Whether the program that imported it came to the results in its record; null for a run without one. */
  readonly repeats: boolean | null;
  readonly bundleSha256: string;
  readonly originArchive: string;
  readonly originRun: number;
  readonly originVersion: string;
  readonly originLink: number;
  readonly originDigest: string;
  /** SHA-256 of the public key by which it was found to be signed. */
  readonly signer: string | null;
}

/** What was added to a run after it was closed. */
export interface RunAudit {
  readonly corrections: readonly RunCorrection[];
  readonly results: readonly LaterResult[];
  readonly approvals: readonly RunApproval[];
  readonly holds: readonly RunHold[];
  readonly onHold: boolean;
  /** The result that the run was closed with, where a later one has taken its place. */
  readonly originalResult: RunResult | null;
  readonly remark: string | null;
  /** Whether the newest approval covers all corrections. */
  readonly approved: boolean;
  /** How the run came here from other archives, the newest last; empty for a run that was made here. */
  readonly imports: readonly RunImport[];
}

export interface RunDetail {
  readonly summary: RunSummary;
  readonly plan: RunPlan;
  readonly events: readonly RunOutput[];
  /** The plan's thermometer chain in words, one step each. */
  readonly thermometerSteps: readonly string[];
  /** Null while the run is open, and where it was interrupted. */
  readonly statement: RunStatement | null;
  /** Size of what the wire said during the run, bytes; null where it was not kept. */
  readonly wireBytes: number | null;
  /** What was added after the run was closed; plan and events are as they were. */
  readonly audit: RunAudit;
}

export interface StandingAlarm {
  readonly code: string;
  readonly text: string;
  readonly since: string;
}

/** Why the heater is off until a person turns it on again. */
export interface DriveTrip {
  readonly code: string;
  /** What happened, its limit, what to do, and the caution. */
  readonly text: string;
  readonly since: string;
}

/** How a driven tester is commanded now. */
export interface DriveOverview {
  readonly on: boolean;
  readonly onBy: string | null;
  /** Power commanded, 0 to 1 of the heater's most. */
  readonly askedFraction: number;
  /** Power the tester says it gives, 0 to 1; null where it does not say. */
  readonly givenFraction: number | null;
  readonly flameOver: boolean;
  /** Age of the newest command the tester said it obeys; null before the first. */
  readonly secondsSinceAcknowledged: number | null;
  /** The heater is off above this reading. */
  readonly highestCelsius: number;
  /** Empty while the heater is on, and where nobody has turned it on yet. */
  readonly trips: readonly DriveTrip[];
}

/** Turns the heater of a driven run on, in the name of a person, or off. */
export type HeaterRequest = { readonly on: true; readonly person: string } | { readonly on: false };

export interface TesterOverview {
  readonly id: string;
  readonly name: string;
  readonly source: string;
  readonly connection: ConnectionState;
  readonly connectionText: string | null;
  readonly secondsSinceReading: number | null;
  readonly counters: {
    readonly rows: number;
    readonly malformed: number;
    readonly queueFull: number;
    readonly queueDepth: number;
    readonly queueCapacity: number;
    /** Polls that were due and brought no reading, or readings that the tester counted and that did not come. */
    readonly missed: number;
    /** Readings that came twice and were taken once. */
    readonly repeated: number;
    /** Readings that came behind newer ones; kept and marked, not judged. */
    readonly late: number;
  };
  readonly lastRefusal: string | null;
  readonly alarms: readonly StandingAlarm[];
  readonly run: RunSummary | null;
  readonly status: RunStatus | null;
  readonly thermometer: ThermometerOverview;
  /** The shared sources whose readings it is given; null where it names none. */
  readonly ambient: readonly AmbientOverview[] | null;
  /** Null where the tester is not driven. */
  readonly drive: DriveOverview | null;
  readonly mode: RunMode;
}

/** A stretch of a run's curve in columns of equal length. */
export interface CurveStretch {
  readonly from: number;
  readonly time: readonly number[];
  readonly temperature: readonly (number | null)[];
  readonly detectorLow: readonly (number | null)[];
  readonly detectorHigh: readonly (number | null)[];
  readonly flame: readonly boolean[];
  /** Columns of the second detector; null where no point of the stretch has a value of it. */
  readonly secondDetectorLow: readonly (number | null)[] | null;
  readonly secondDetectorHigh: readonly (number | null)[] | null;
}

export interface RunUpdate {
  readonly curve: CurveStretch;
  readonly eventsFrom: number;
  readonly events: readonly RunOutput[];
  readonly status: RunStatus | null;
  readonly summary: RunSummary;
}

export interface StartRunRequest {
  readonly methodId: string;
  /** Null where nothing is expected. */
  readonly expectedFlashCelsius: number | null;
  /** Null where the pressure is given as text, or by nobody. */
  readonly stationPressureKilopascals: number | null;
  readonly specimen: string;
  /** The figure of the barometer with its unit, such as `973 hPa`; null where nobody read it. */
  readonly stationPressure: string | null;
  /** In the words of the method, where it has figures of their own for a material; null for every other. */
  readonly material: string | null;
  /** Nobody knows what to expect: the run is to find it out. */
  readonly scouting: boolean;
  /** Tested for flash or no flash, at standard pressure; null where a flash point is determined. */
  readonly specificationCelsius: number | null;
  /** A search by steps ends with the method's optional, finer step. */
  readonly fineStep: boolean;
}

/** Units in which the service takes a station pressure. */
export type PressureUnit = 'kPa' | 'hPa' | 'mbar' | 'mmHg';

/** A mistake in something the person typed: where, and what is allowed. */
export interface InputError {
  readonly path: string;
  readonly message: string;
}
