// What the service states of a closed run and how sure it is. Part of contract.ts, from where everything is imported.

/** What a laboratory knows beside the readings. What it does not know is null, never 0. */
export interface LaboratoryFigures {
  readonly barometerLimitKilopascals: number | null;
  readonly coefficientLimitCelsiusPerKilopascal: number | null;
  readonly driftLimitCelsius: number | null;
  readonly resolutionCelsius: number | null;
  readonly lagResidualCelsius: number | null;
  readonly rampSensitivityCelsiusPerCelsiusPerMinute: number | null;
  readonly repeatability: { readonly standardDeviationCelsius: number; readonly results: number } | null;
  readonly takeMethodRepeatability: boolean;
}

/** How to read the value of a line: expanded uncertainty, half-width, half-width, standard deviation. */
export type ContributionDistribution = 'normal' | 'rectangular' | 'triangular' | 'standard';

/** One line of a budget. */
export interface UncertaintyRow {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly distribution: ContributionDistribution;
  readonly standardCelsius: number;
  /** Its part of the combined variance, %. */
  readonly sharePercent: number;
  readonly source: string;
}

/** The uncertainty budget of a point (JCGM 100:2008). */
export interface UncertaintyTable {
  readonly rows: readonly UncertaintyRow[];
  readonly combinedCelsius: number;
  /** Null where nothing limits them. */
  readonly effectiveDegreesOfFreedom: number | null;
  readonly coverageFactor: number;
  readonly expandedCelsius: number;
  /** What belongs in it and is not in it, a sentence each. */
  readonly leftOut: readonly string[];
  readonly remarks: readonly string[];
}

/** What may be stated about one point: the sentence with its budget, or why there is none. */
export interface PointStatement {
  readonly statement: string | null;
  readonly cannotReport: string | null;
  readonly uncertainty: UncertaintyTable | null;
}

/** What a closed run may state. */
export interface RunStatement {
  readonly flash: PointStatement;
  /** Null where the method determines no fire point. */
  readonly fire: PointStatement | null;
}
