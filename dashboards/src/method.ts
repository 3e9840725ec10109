// A method of determination as the service states it, docs/api.md. What a method says nothing about is null, or absent in a method file.

/** A closed range in the unit of the property that holds it. */
export interface Range {
  readonly from: number;
  readonly to: number;
}

type Optional<T> = T | null | undefined;

/** constant + factor × (X + offset) ^ exponent at the temperature X, °C. */
export interface PrecisionFormula {
  readonly constantCelsius?: number;
  readonly factor?: number;
  readonly offsetCelsius?: number;
  readonly exponent?: number;
}

export interface PrecisionPiece {
  readonly fromCelsius?: Optional<number>;
  readonly toCelsius?: Optional<number>;
  readonly material?: Optional<string>;
  readonly repeatability: PrecisionFormula;
  readonly reproducibility: PrecisionFormula;
}

/** Limits at the 95 % level, °C: numbers, formulas, or pieces by temperature. */
export interface Precision {
  readonly repeatabilityCelsius?: Optional<number>;
  readonly reproducibilityCelsius?: Optional<number>;
  readonly repeatability?: Optional<PrecisionFormula>;
  readonly reproducibility?: Optional<PrecisionFormula>;
  readonly pieces?: Optional<readonly PrecisionPiece[]>;
}

export interface SourceNote {
  readonly figure: string;
  readonly citation: string;
  readonly fromMemory?: boolean;
}

export interface StirringRules {
  readonly revolutionsPerMinute: Range;
  readonly stoppedDuringApplication: boolean;
  readonly outsideSeconds?: Optional<number>;
}

/** Limits for what is measured beside the cup; a figure that is not there is not judged. */
export interface SurroundingsRules {
  readonly draughtMetresPerSecond?: Optional<number>;
  readonly draughtSeconds?: Optional<number>;
  readonly ambientCelsius?: Optional<Range>;
  readonly ambientChangeCelsius?: Optional<number>;
}

export interface ScopeRules {
  readonly thinnerThan?: Optional<readonly { readonly squareMillimetresPerSecond: number; readonly atCelsius: number }[]>;
  readonly solidsAllowed?: Optional<boolean>;
  readonly filmFormersAllowed?: Optional<boolean>;
  readonly precisionCelsius?: Optional<Range>;
  readonly notFor?: Optional<readonly string[]>;
}

/** Without fast heating one rate holds from start to end. */
export interface RampRules {
  readonly startAtLeastBelowExpectedCelsius: number;
  readonly fastHeatingCelsiusPerMinute?: Optional<Range>;
  readonly easeBelowExpectedCelsius?: Optional<number>;
  readonly controlledHeatingCelsiusPerMinute: Range;
  readonly controlledFromBelowExpectedCelsius?: Optional<number>;
}

export interface ApplicationRules {
  readonly firstBelowExpectedCelsius: number;
  readonly firstAtLatestBelowExpectedCelsius: number;
  readonly firstAtEarliestBelowExpectedCelsius?: Optional<number>;
  readonly intervalCelsius: number;
  readonly passSeconds: number;
  readonly shortestPassSeconds?: Optional<number>;
  readonly longestPassSeconds: number;
  readonly flashWindowAboveFirstCelsius?: Optional<Range>;
}

export interface EquilibriumCharge {
  readonly upToCelsius?: Optional<number>;
  readonly material?: Optional<string>;
  readonly millilitres: number;
  readonly toleranceMillilitres?: Optional<number>;
  readonly waitSeconds: number;
}

export interface EquilibriumRules {
  readonly aim: string;
  readonly charges: readonly EquilibriumCharge[];
  readonly blockToleranceCelsius: number;
  readonly steadySeconds: number;
  readonly waitToleranceSeconds: number;
  readonly shutterSeconds: number;
  readonly stepsCelsius?: Optional<readonly number[]>;
  readonly optionalStepCelsius?: Optional<number>;
  readonly setPoint?: Optional<{ readonly coefficientCelsiusPerKilopascal: number; readonly standardKilopascals: number; readonly stepCelsius: number }>;
}

export interface UnknownFlashRules {
  readonly startCelsius?: Optional<Range>;
  readonly startAtMostCelsius?: Optional<number>;
  readonly firstAtLeastAboveStartCelsius: number;
  readonly intervalCelsius?: Optional<number>;
  readonly heatingCelsiusPerMinute?: Optional<Range>;
  readonly settleCelsius?: Optional<number>;
}

export interface JudgementRules {
  readonly rateToleranceCelsiusPerMinute: number;
  readonly rateExcursionSeconds: number;
  readonly grossRateExcessCelsiusPerMinute: number;
  readonly intervalToleranceCelsius: number;
  readonly gapSeconds: number;
  readonly pauseSeconds?: Optional<number>;
  readonly settleCelsius?: Optional<number>;
}

/** Parts that are different where the expected flash point lies in a range. */
export interface MethodVariant {
  readonly expectedFromCelsius?: Optional<number>;
  readonly expectedAboveCelsius?: Optional<number>;
  readonly expectedUpToCelsius?: Optional<number>;
  readonly expectedBelowCelsius?: Optional<number>;
  readonly ramp?: Optional<RampRules>;
  readonly applications?: Optional<ApplicationRules>;
  readonly flashPrecision?: Optional<Precision>;
  readonly judgement?: Optional<JudgementRules>;
}

/** `cup`, `heating` and `procedure` are absent in files from before there was more than one kind: an open cup, heated directly, on a ramp. */
export interface MethodDefinition {
  readonly id: string;
  readonly title: string;
  readonly standard: string;
  readonly use?: Optional<string>;
  readonly cup?: string;
  readonly heating?: string;
  readonly procedure?: string;
  readonly apparatus: { readonly cup: string; readonly fill: string; readonly testFlame: string };
  readonly stirring?: Optional<StirringRules>;
  readonly surroundings?: Optional<SurroundingsRules>;
  readonly flashScopeCelsius: Range;
  readonly scope?: Optional<ScopeRules>;
  readonly ramp?: Optional<RampRules>;
  readonly applications?: Optional<ApplicationRules>;
  readonly equilibrium?: Optional<EquilibriumRules>;
  readonly unknownFlash?: Optional<UnknownFlashRules>;
  readonly firePoint: { readonly determined: boolean; readonly sustainedSeconds: number; readonly highestCelsius?: Optional<number> };
  readonly barometric: {
    readonly coefficientCelsiusPerKilopascal: number;
    readonly standardKilopascals: number;
    readonly strictKilopascals: Range;
  };
  readonly rounding: { readonly stepCelsius: number; readonly ties: string };
  readonly flashPrecision?: Optional<Precision>;
  readonly firePrecision?: Optional<Precision>;
  readonly judgement: JudgementRules;
  readonly variants?: Optional<readonly MethodVariant[]>;
  readonly cautions: readonly string[];
  readonly sources: readonly SourceNote[];
}

/** Materials for which the method has figures of their own, each once. */
export function materials(method: MethodDefinition): readonly string[] {
  const precisions = [method.flashPrecision, method.firePrecision, ...(method.variants ?? []).map((variant) => variant.flashPrecision)];
  const named = [...precisions.flatMap((precision) => precision?.pieces ?? []), ...(method.equilibrium?.charges ?? [])].map((one) => one.material);
  return [...new Set(named.filter((one) => typeof one === 'string'))];
}

/** What has to be known before a run by the method. */
export function asks(method: MethodDefinition): 'expected' | 'specification' {
  return method.equilibrium?.aim === 'flash-no-flash' ? 'specification' : 'expected';
}
