// What the service says of a tester's thermometer. Part of contract.ts, from where everything is imported.

/** What is known against a reading. The words never change; new ones may come. */
export type ReadingMark =
  | 'open-circuit'
  | 'short-circuit'
  | 'reversed-polarity'
  | 'stuck'
  | 'impossible-jump'
  | 'out-of-range'
  | 'converter-saturated'
  | 'stale'
  | 'junction-missing'
  | 'transmitter-failure'
  | 'late'
  | 'outside-calibration'
  | 'step-taken'
  | 'lag-uncorrected'
  | 'resting';

export type CalibrationStanding = 'valid' | 'due-soon' | 'overdue' | 'not-yet-valid';

/** A tester's thermometer today. Days are 2026-12-02. */
export interface ThermometerOverview {
  /** From the signal to the temperature, in words. */
  readonly steps: readonly string[];
  /** Symbol of the signal's unit; null where the tester sends °C. */
  readonly signalUnit: string | null;
  /** Null where there is no certificate. */
  readonly calibration: CalibrationStanding | null;
  readonly calibrationDueOn: string | null;
}

export type ThermometerUnit = 'degC' | 'K' | 'degF' | 'uV' | 'mV' | 'V' | 'ohm' | 'kohm' | 'mA';

export type ThermometerSensor =
  | { readonly kind: 'direct' }
  | {
      readonly kind: 'thermocouple';
      readonly type: 'B' | 'E' | 'J' | 'K' | 'N' | 'R' | 'S' | 'T';
      readonly referenceJunction: 'measured' | 'fixed' | 'compensated';
      readonly junctionCelsius: number | null;
    }
  | {
      readonly kind: 'platinum';
      readonly r0Ohms: number;
      readonly wires: number;
      readonly leadOhms: number | null;
      readonly tolerance: 'AA' | 'A' | 'B' | 'C' | null;
    }
  | { readonly kind: 'thermistor'; readonly a: number; readonly b: number; readonly c: number }
  | { readonly kind: 'transmitter'; readonly signal: '4-20 mA' | '0-10 V'; readonly lowCelsius: number; readonly highCelsius: number }
  | {
      readonly kind: 'liquid-in-glass';
      readonly liquid: 'mercury' | 'organic';
      readonly immersedToCelsius: number;
      readonly stemCelsius: number;
      readonly calibratedStemCelsius: number | null;
    };

export interface CalibrationPoint {
  readonly readingCelsius: number;
  readonly correctionCelsius: number;
  readonly expandedUncertaintyCelsius: number;
}

export interface CalibrationCertificate {
  readonly number: string;
  readonly calibratedOn: string;
  readonly dueOn: string;
  readonly warnDays: number;
  readonly coverageFactor: number;
  readonly interpolation: 'linear' | 'monotone-cubic';
  readonly points: readonly CalibrationPoint[];
}

export interface SensorLag {
  readonly timeConstantSeconds: number;
  readonly correct: boolean;
}

export interface ThermometerLimits {
  readonly coldestCelsius: number;
  readonly hottestCelsius: number;
  readonly junctionColdestCelsius: number;
  readonly junctionHottestCelsius: number;
  readonly converterLow: number | null;
  readonly converterHigh: number | null;
  readonly stuckAfterSeconds: number;
  readonly staleAfterSeconds: number;
}

/** Everything between the thermometer's signal and a temperature, as recorded with a run. */
export interface ThermometerChain {
  readonly unit: ThermometerUnit;
  readonly sensor: ThermometerSensor;
  readonly calibration: CalibrationCertificate | null;
  readonly lag: SensorLag | null;
  readonly limits: ThermometerLimits;
}
