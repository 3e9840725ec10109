import type {
  ApplicationRules, EquilibriumCharge, EquilibriumRules, JudgementRules, MethodDefinition, MethodVariant, Precision, PrecisionFormula, PrecisionPiece,
  RampRules, Range, ScopeRules, SourceNote, StirringRules, SurroundingsRules, UnknownFlashRules,
} from '../src/method';
import { flag, list, number, orNull, shape, text } from './shape';

// The method part of the contract as checks at run time: the service writes every key, null where the method says nothing.

export const range = shape<Range>({ from: number, to: number });

const formula = shape<PrecisionFormula>({ constantCelsius: number, factor: number, offsetCelsius: number, exponent: number });
const piece = shape<PrecisionPiece>({ fromCelsius: orNull(number), toCelsius: orNull(number), material: orNull(text), repeatability: formula, reproducibility: formula });
const precision = shape<Precision>({
  repeatabilityCelsius: orNull(number), reproducibilityCelsius: orNull(number), repeatability: orNull(formula), reproducibility: orNull(formula), pieces: orNull(list(piece)),
});

const ramp = shape<RampRules>({
  startAtLeastBelowExpectedCelsius: number, fastHeatingCelsiusPerMinute: orNull(range), easeBelowExpectedCelsius: orNull(number),
  controlledHeatingCelsiusPerMinute: range, controlledFromBelowExpectedCelsius: orNull(number),
});

const applications = shape<ApplicationRules>({
  firstBelowExpectedCelsius: number, firstAtLatestBelowExpectedCelsius: number, firstAtEarliestBelowExpectedCelsius: orNull(number), intervalCelsius: number,
  passSeconds: number, shortestPassSeconds: orNull(number), longestPassSeconds: number, flashWindowAboveFirstCelsius: orNull(range),
});

const judgement = shape<JudgementRules>({
  rateToleranceCelsiusPerMinute: number, rateExcursionSeconds: number, grossRateExcessCelsiusPerMinute: number, intervalToleranceCelsius: number, gapSeconds: number,
  pauseSeconds: orNull(number), settleCelsius: orNull(number),
});

const scope = shape<ScopeRules>({
  thinnerThan: orNull(list(shape<{ readonly squareMillimetresPerSecond: number; readonly atCelsius: number }>({ squareMillimetresPerSecond: number, atCelsius: number }))),
  solidsAllowed: orNull(flag), filmFormersAllowed: orNull(flag), precisionCelsius: orNull(range), notFor: orNull(list(text)),
});

const charge = shape<EquilibriumCharge>({ upToCelsius: orNull(number), material: orNull(text), millilitres: number, toleranceMillilitres: orNull(number), waitSeconds: number });
const equilibrium = shape<EquilibriumRules>({
  aim: text, charges: list(charge), blockToleranceCelsius: number, steadySeconds: number, waitToleranceSeconds: number, shutterSeconds: number, stepsCelsius: orNull(list(number)), optionalStepCelsius: orNull(number),
  setPoint: orNull(shape<NonNullable<EquilibriumRules['setPoint']>>({ coefficientCelsiusPerKilopascal: number, standardKilopascals: number, stepCelsius: number })),
});

const variant = shape<MethodVariant>({
  expectedFromCelsius: orNull(number), expectedAboveCelsius: orNull(number), expectedUpToCelsius: orNull(number), expectedBelowCelsius: orNull(number),
  ramp: orNull(ramp), applications: orNull(applications), flashPrecision: orNull(precision), judgement: orNull(judgement),
});

const unknownFlash = shape<UnknownFlashRules>({
  startCelsius: orNull(range), startAtMostCelsius: orNull(number), firstAtLeastAboveStartCelsius: number, intervalCelsius: orNull(number), heatingCelsiusPerMinute: orNull(range),
  settleCelsius: orNull(number),
});

export const method = shape<MethodDefinition>({
  id: text, title: text, standard: text, use: orNull(text), cup: text, heating: text, procedure: text,
  apparatus: shape<MethodDefinition['apparatus']>({ cup: text, fill: text, testFlame: text }),
  stirring: orNull(shape<StirringRules>({ revolutionsPerMinute: range, stoppedDuringApplication: flag, outsideSeconds: orNull(number) })),
  surroundings: orNull(shape<SurroundingsRules>({ draughtMetresPerSecond: orNull(number), draughtSeconds: orNull(number), ambientCelsius: orNull(range), ambientChangeCelsius: orNull(number) })),
  flashScopeCelsius: range, scope: orNull(scope),
  ramp: orNull(ramp), applications: orNull(applications), equilibrium: orNull(equilibrium), unknownFlash: orNull(unknownFlash),
  firePoint: shape<MethodDefinition['firePoint']>({ determined: flag, sustainedSeconds: number, highestCelsius: orNull(number) }),
  barometric: shape<MethodDefinition['barometric']>({ coefficientCelsiusPerKilopascal: number, standardKilopascals: number, strictKilopascals: range }),
  rounding: shape<MethodDefinition['rounding']>({ stepCelsius: number, ties: text }),
  flashPrecision: orNull(precision), firePrecision: orNull(precision), judgement, variants: orNull(list(variant)),
  cautions: list(text),
  sources: list(shape<SourceNote>({ figure: text, citation: text, fromMemory: flag })),
});
