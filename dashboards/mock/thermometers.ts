import type { CalibrationStanding, SensorLag, ThermometerChain, ThermometerOverview, ThermometerSensor, ThermometerUnit } from '../src/contract';
import { round } from './bench';

/** An invented thermometer: what the service would say of it, and a signal for a temperature. */
export interface MockThermometer {
  readonly chain: ThermometerChain;
  readonly steps: readonly string[];
  readonly overview: ThermometerOverview;
  /** Null where °C are sent. */
  readonly signal: ((celsius: number) => number) | null;
  readonly junctionCelsius: number | null;
  /** Whether its circuit opens for some seconds of each minute. */
  readonly opens: boolean;
}

interface Parts {
  readonly unit: ThermometerUnit;
  readonly symbol: string;
  readonly sensor: ThermometerSensor;
  readonly sensorSteps: readonly string[];
  readonly standing: CalibrationStanding | null;
  /** Days from today until the next calibration is due. */
  readonly dueIn?: number;
  readonly lag?: SensorLag;
  readonly signal?: (celsius: number) => number;
  readonly junctionCelsius?: number;
  readonly opens?: boolean;
}

const junction = 24.85;
// A straight line near enough to type K for looking at, and the quadratic of platinum above 0 °C (IEC 60751).
const microvolts = (celsius: number): number => round(40.7 * (celsius - junction), 1);
const ohms = (celsius: number): number => round(100 * (1 + 3.9083e-3 * celsius - 5.775e-7 * celsius * celsius), 3);

const couple = {
  unit: 'uV',
  symbol: 'µV',
  sensor: { kind: 'thermocouple', type: 'K', referenceJunction: 'measured', junctionCelsius: null },
  sensorSteps: ['Reference junction measured by the tester, added as emf', 'Thermocouple type K, ITS-90 reference function (IEC 60584-1), inverted exactly'],
  signal: microvolts,
  junctionCelsius: junction,
} as const;

export const plainThermometer = thermometer({
  unit: 'degC',
  symbol: '°C',
  sensor: { kind: 'direct' },
  sensorSteps: ['Temperature as the tester makes it; nothing is known about its sensor'],
  standing: null,
});

const known: Readonly<Record<string, MockThermometer>> = {
  north: thermometer({ ...couple, standing: 'valid', dueIn: 97, lag: { timeConstantSeconds: 8, correct: false } }),
  south: thermometer({
    unit: 'ohm',
    symbol: 'Ω',
    sensor: { kind: 'platinum', r0Ohms: 100, wires: 4, leadOhms: null, tolerance: 'A' },
    sensorSteps: ['Platinum thermometer (IEC 60751), R0 100 ohm, 4 wires, tolerance class A'],
    standing: 'overdue',
    dueIn: -12,
    lag: { timeConstantSeconds: 11, correct: false },
    signal: ohms,
  }),
  annex: thermometer({ ...couple, standing: 'due-soon', dueIn: 9, lag: { timeConstantSeconds: 8, correct: true }, opens: true }),
  east: thermometer({
    unit: 'mA',
    symbol: 'mA',
    sensor: { kind: 'transmitter', signal: '4-20 mA', lowCelsius: 0, highCelsius: 400 },
    sensorSteps: ['Transmitter 4-20 mA for 0 to 400 °C'],
    standing: 'not-yet-valid',
    dueIn: 400,
    signal: (celsius) => round(4 + (celsius / 400) * 16, 4),
  }),
};

export const thermometerOf = (testerId: string): MockThermometer => known[testerId] ?? plainThermometer;

/** A day so many days from today. */
function day(daysFromToday: number): string {
  return new Date(Date.now() + daysFromToday * 86_400_000).toISOString().slice(0, 10);
}

function thermometer(parts: Parts): MockThermometer {
  const { unit, symbol, sensor, sensorSteps, standing, dueIn = 0, lag = null, signal = null, junctionCelsius = null, opens = false } = parts;
  const [calibratedOn, dueOn] = [day(dueIn - 365), day(dueIn)];
  const certified = standing !== null;
  const steps = [
    `Signal in ${symbol}`,
    ...sensorSteps,
    certified ? `Calibration C-114 of ${calibratedOn}, due ${dueOn}: 2 points from 50 to 250 °C, linear, U up to 0.4 °C (k = 2)` : 'No calibration certificate',
    lag === null ? 'Lag unknown, not corrected' : `Lag ${lag.timeConstantSeconds} s, ${lag.correct ? "corrected: the method's precision does not hold" : 'not corrected'}`,
  ];
  const points = [
    { readingCelsius: 50, correctionCelsius: 0.1, expandedUncertaintyCelsius: 0.3 },
    { readingCelsius: 250, correctionCelsius: 0.2, expandedUncertaintyCelsius: 0.4 },
  ];
  const calibration = certified ? { number: 'C-114', calibratedOn, dueOn, warnDays: 30, coverageFactor: 2, interpolation: 'linear' as const, points } : null;
  const limits = {
    coldestCelsius: 5, hottestCelsius: 450, junctionColdestCelsius: 5, junctionHottestCelsius: 60, converterLow: null, converterHigh: null, stuckAfterSeconds: 60,
    staleAfterSeconds: 5,
  };
  return {
    chain: { unit, sensor, calibration, lag, limits },
    steps,
    overview: { steps, signalUnit: unit === 'degC' ? null : symbol, calibration: standing, calibrationDueOn: certified ? dueOn : null },
    signal,
    junctionCelsius,
    opens,
  };
}
