import type {
  CalibrationCertificate, CalibrationPoint, CalibrationStanding, ReadingMark, SensorLag, ThermometerChain, ThermometerLimits, ThermometerOverview,
  ThermometerSensor, ThermometerUnit,
} from '../src/contract';
import { day, flag, list, number, orNull, shape, text, word, type Check } from './shape';

// The part of contractShapes.ts that reads thermometers.

export const mark = word<ReadingMark>({
  'open-circuit': true, 'short-circuit': true, 'reversed-polarity': true, stuck: true, 'impossible-jump': true, 'out-of-range': true,
  'converter-saturated': true, stale: true, 'junction-missing': true, 'transmitter-failure': true, late: true, 'outside-calibration': true, 'step-taken': true,
  'lag-uncorrected': true,
  resting: true,
});

const standing = word<CalibrationStanding>({ valid: true, 'due-soon': true, overdue: true, 'not-yet-valid': true });

export const thermometer = shape<ThermometerOverview>({
  steps: list(text), signalUnit: orNull(text), calibration: orNull(standing), calibrationDueOn: orNull(day),
});

type Sensor<K extends ThermometerSensor['kind']> = Extract<ThermometerSensor, { kind: K }>;

const sensors: { readonly [K in ThermometerSensor['kind']]: Check<Sensor<K>> } = {
  direct: shape<Sensor<'direct'>>({ kind: word({ direct: true }) }),
  thermocouple: shape<Sensor<'thermocouple'>>({
    kind: word({ thermocouple: true }), type: word({ B: true, E: true, J: true, K: true, N: true, R: true, S: true, T: true }),
    referenceJunction: word({ measured: true, fixed: true, compensated: true }), junctionCelsius: orNull(number),
  }),
  platinum: shape<Sensor<'platinum'>>({
    kind: word({ platinum: true }), r0Ohms: number, wires: number, leadOhms: orNull(number), tolerance: orNull(word({ AA: true, A: true, B: true, C: true })),
  }),
  thermistor: shape<Sensor<'thermistor'>>({ kind: word({ thermistor: true }), a: number, b: number, c: number }),
  transmitter: shape<Sensor<'transmitter'>>({
    kind: word({ transmitter: true }), signal: word({ '4-20 mA': true, '0-10 V': true }), lowCelsius: number, highCelsius: number,
  }),
  'liquid-in-glass': shape<Sensor<'liquid-in-glass'>>({
    kind: word({ 'liquid-in-glass': true }), liquid: word({ mercury: true, organic: true }), immersedToCelsius: number, stemCelsius: number,
    calibratedStemCelsius: orNull(number),
  }),
};

const sensor: Check<ThermometerSensor> = (value, path) => {
  const kind = (value as { readonly kind?: unknown } | null)?.kind;
  if (typeof kind !== 'string' || !Object.hasOwn(sensors, kind)) throw new Error(`${path}.kind: ${JSON.stringify(kind)} is no kind of sensor`);
  return sensors[kind as ThermometerSensor['kind']](value, path);
};

const certificate = shape<CalibrationCertificate>({
  number: text, calibratedOn: day, dueOn: day, warnDays: number, coverageFactor: number, interpolation: word({ linear: true, 'monotone-cubic': true }),
  points: list(shape<CalibrationPoint>({ readingCelsius: number, correctionCelsius: number, expandedUncertaintyCelsius: number })),
});

export const chain = shape<ThermometerChain>({
  unit: word<ThermometerUnit>({ degC: true, K: true, degF: true, uV: true, mV: true, V: true, ohm: true, kohm: true, mA: true }),
  sensor, calibration: orNull(certificate), lag: orNull(shape<SensorLag>({ timeConstantSeconds: number, correct: flag })),
  limits: shape<ThermometerLimits>({
    coldestCelsius: number, hottestCelsius: number, junctionColdestCelsius: number, junctionHottestCelsius: number, converterLow: orNull(number),
    converterHigh: orNull(number), stuckAfterSeconds: number, staleAfterSeconds: number,
  }),
});
