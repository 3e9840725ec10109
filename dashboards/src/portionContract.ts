// The part of the contract about scouting runs and equilibrium procedures, docs/api.md.

import type { Range } from './method';

/** How the proper run after a scouting run begins, with a fresh test portion. */
export interface NextRun {
  readonly methodId: string;
  readonly expectedFlashCelsius: number;
  readonly startAtMostCelsius: number;
  readonly firstApplicationCelsius: number;
  readonly intervalCelsius: number;
  readonly heatingCelsiusPerMinute: Range;
  /** For which expected flash points these figures hold, in words; null where they hold for all. */
  readonly variant: string | null;
}

export type PortionOutcome = 'no-flash' | 'halo' | 'flash' | 'uncertain';

/** One test: a fresh test portion at a fixed temperature, and one application. */
export interface PortionTest {
  readonly number: number;
  readonly setCelsius: number;
  readonly millilitres: number | null;
  readonly chargedSeconds: number;
  readonly appliedSeconds: number;
  readonly appliedCelsius: number | null;
  readonly outcome: PortionOutcome;
  /** Why it does not count, as a finding's code; null where it counts. */
  readonly spoiled: string | null;
  readonly flashed: boolean;
  readonly counts: boolean;
}

export interface EquilibriumResult {
  readonly aim: 'flash-no-flash' | 'flash-point';
  readonly tests: readonly PortionTest[];
  readonly specificationCelsius: number | null;
  readonly testedCelsius: number | null;
  readonly correctedCelsius: number | null;
  /** Null where there is no answer. */
  readonly flashed: boolean | null;
  readonly stepCelsius: number | null;
}

/** Where an equilibrium run stands. */
export interface PortionStatus {
  readonly portionNumber: number;
  readonly setCelsius: number;
  readonly toleranceCelsius: number;
  readonly millilitres: number;
  readonly waitSeconds: number;
  /** Until the block has been steady for long enough; null while it is off its temperature, and once a portion is charged. */
  readonly secondsToSteady: number | null;
  /** Until the application is due, 0 once it is; null where no portion waits. */
  readonly secondsToApplication: number | null;
  readonly spoiled: string | null;
  readonly tests: readonly PortionTest[];
}

export interface TemperatureSet {
  readonly kind: 'temperature-set';
  readonly atSeconds: number;
  readonly number: number;
  readonly setCelsius: number;
}

export interface PortionCharged {
  readonly kind: 'portion-charged';
  readonly atSeconds: number;
  readonly readingSeconds: number | null;
  readonly millilitres: number | null;
  readonly person: string | null;
}

export interface PortionTested {
  readonly kind: 'portion-tested';
  readonly atSeconds: number;
  readonly test: PortionTest;
}
