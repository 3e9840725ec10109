import type { ContributionDistribution, LaboratoryFigures, PointStatement, RunStatement, UncertaintyRow, UncertaintyTable } from '../src/contract';
import { flag, list, number, orNull, shape, text, word } from './shape';

// The part of contractShapes.ts that reads what a closed run may state.

export const figures = shape<LaboratoryFigures>({
  barometerLimitKilopascals: orNull(number), coefficientLimitCelsiusPerKilopascal: orNull(number), driftLimitCelsius: orNull(number),
  resolutionCelsius: orNull(number), lagResidualCelsius: orNull(number), rampSensitivityCelsiusPerCelsiusPerMinute: orNull(number),
  repeatability: orNull(shape<NonNullable<LaboratoryFigures['repeatability']>>({ standardDeviationCelsius: number, results: number })),
  takeMethodRepeatability: flag,
});

const row = shape<UncertaintyRow>({
  name: text, value: number, unit: text, distribution: word<ContributionDistribution>({ normal: true, rectangular: true, triangular: true, standard: true }),
  standardCelsius: number, sharePercent: number, source: text,
});

const table = shape<UncertaintyTable>({
  rows: list(row), combinedCelsius: number, effectiveDegreesOfFreedom: orNull(number), coverageFactor: number, expandedCelsius: number, leftOut: list(text),
  remarks: list(text),
});

const point = shape<PointStatement>({ statement: orNull(text), cannotReport: orNull(text), uncertainty: orNull(table) });

export const statement = shape<RunStatement>({ flash: point, fire: orNull(point) });
