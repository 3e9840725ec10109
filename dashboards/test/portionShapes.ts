import type { EquilibriumResult, NextRun, PortionOutcome, PortionStatus, PortionTest } from '../src/contract';
import { range } from './methodShapes';
import { flag, list, number, orNull, shape, text, word } from './shape';

// Scouting runs and equilibrium procedures as checks at run time.

export const next = shape<NextRun>({
  methodId: text, expectedFlashCelsius: number, startAtMostCelsius: number, firstApplicationCelsius: number, intervalCelsius: number, heatingCelsiusPerMinute: range, variant: orNull(text),
});

export const portionTest = shape<PortionTest>({
  number, setCelsius: number, millilitres: orNull(number), chargedSeconds: number, appliedSeconds: number, appliedCelsius: orNull(number),
  outcome: word<PortionOutcome>({ 'no-flash': true, halo: true, flash: true, uncertain: true }), spoiled: orNull(text), flashed: flag, counts: flag,
});

export const equilibrium = shape<EquilibriumResult>({
  aim: word<EquilibriumResult['aim']>({ 'flash-no-flash': true, 'flash-point': true }), tests: list(portionTest), specificationCelsius: orNull(number),
  testedCelsius: orNull(number), correctedCelsius: orNull(number), flashed: orNull(flag), stepCelsius: orNull(number),
});

export const portions = shape<PortionStatus>({
  portionNumber: number, setCelsius: number, toleranceCelsius: number, millilitres: number, waitSeconds: number, secondsToSteady: orNull(number),
  secondsToApplication: orNull(number), spoiled: orNull(text), tests: list(portionTest),
});
