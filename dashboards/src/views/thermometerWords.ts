import type { RunPlan, RunResult, RunStatus, SensorLag, ThermometerOverview, ThermometerUnit } from '../contract';
import { celsius, fixed } from '../format';

/** Words with the tone in which they are set; `plain` is no badge. */
export interface Standing {
  readonly tone: 'plain' | 'quiet' | 'soon' | 'caution';
  readonly text: string;
}

/** The sensor by its step in the chain, without the details behind it: "thermocouple type K". */
export function sensorWords(steps: readonly string[]): string {
  // The signal is the first step; a thermocouple has its reference junction before the sensor.
  const step = steps[1]?.startsWith('Reference junction') === true ? steps[2] : steps[1];
  const words = step?.split(/[,;(]/, 1)[0]?.trim() ?? '';
  if (words === '' || words.startsWith('Temperature as')) return 'sensor not known';
  const isWord = /^[A-Z][a-z]/.test(words);
  return isWord ? words.charAt(0).toLowerCase() + words.slice(1) : words;
}

/** The sensor beside the word Thermometer, which need not be said twice. */
export function labelledSensor(steps: readonly string[]): string {
  return `Thermometer: ${sensorWords(steps).replace(/ thermometer$/, '')}`;
}

/** The sensor at the beginning of a line. */
export function leadingSensor(steps: readonly string[]): string {
  const words = sensorWords(steps);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Text in pieces, days by themselves: a day is not to be broken at its hyphens. */
export function splitDays(text: string): readonly { readonly text: string; readonly isDay: boolean }[] {
  return text
    .split(/(\b\d{4}-\d{2}-\d{2}\b)/)
    .map((piece, i) => ({ text: piece, isDay: i % 2 === 1 }))
    .filter((piece) => piece.text !== '');
}

/** How the calibration of a tester's thermometer stands today. */
export function standingToday({ calibration, calibrationDueOn }: ThermometerOverview): Standing {
  const due = calibrationDueOn ?? 'unknown';
  switch (calibration) {
    case null:
      return { tone: 'quiet', text: 'no calibration certificate' };
    case 'valid':
      return { tone: 'plain', text: `calibrated to ${due}` };
    case 'due-soon':
      return { tone: 'soon', text: `calibration due soon: ${due}` };
    case 'overdue':
      return { tone: 'caution', text: `calibration overdue: was due ${due}` };
    case 'not-yet-valid':
      return { tone: 'caution', text: 'certificate not yet valid' };
  }
}

/** How the calibration stood at a run that is over, by what the service found. */
export function standingAtRun(plan: RunPlan, result: RunResult | null): Standing {
  if (plan.temperaturesAsRead) return { tone: 'quiet', text: 'temperatures as they stand in the record; calibration not judged' };
  const certificate = plan.thermometer.calibration;
  if (certificate === null) return { tone: 'quiet', text: 'no calibration certificate' };
  const found = (code: string): boolean => result?.findings.some((finding) => finding.code === code) === true;
  if (result === null || plan.madeOn === null || found('calibration-not-judged')) return { tone: 'plain', text: `calibration due ${certificate.dueOn}, not judged` };
  if (found('calibration-overdue')) return { tone: 'caution', text: `calibration overdue at this run: was due ${certificate.dueOn}` };
  if (found('calibration-not-yet-valid')) return { tone: 'caution', text: `certificate of ${certificate.calibratedOn}, after this run` };
  return { tone: 'plain', text: `in calibration at this run, to ${certificate.dueOn}` };
}

const unitSymbols: Record<ThermometerUnit, string> = {
  degC: '°C', K: 'K', degF: '°F', uV: 'µV', mV: 'mV', V: 'V', ohm: 'Ω', kohm: 'kΩ', mA: 'mA',
};

// As many as tell a twentieth of a degree with the common sensors.
const decimals: Readonly<Record<string, number>> = { 'µV': 0, mV: 3, V: 4, 'Ω': 2, 'kΩ': 4, mA: 3, K: 2, '°F': 1 };

/** Symbol of the signal's unit; null where the tester sends °C. */
export function unitOf(plan: RunPlan): string | null {
  return plan.thermometer.unit === 'degC' ? null : unitSymbols[plan.thermometer.unit];
}

/** The newest signal as it was sent, and the junction: "signal 8608 µV, junction 24.9 °C"; empty where neither is sent. */
export function signalWords(status: RunStatus, unit: string | null): string {
  const { thermometerSignal, junctionCelsius } = status;
  return [
    thermometerSignal === null || unit === null ? null : `signal ${fixed(thermometerSignal, decimals[unit] ?? 3)}\u00a0${unit}`,
    junctionCelsius === null ? null : `junction ${celsius(junctionCelsius).replace(' ', '\u00a0')}`,
  ]
    .filter((text) => text !== null)
    .join(', ');
}

/** What the thermometer's lag does to the figure; null where nothing is known of it. */
export function lagWords(lag: SensorLag | null, lagCelsius: number | null): string | null {
  if (lag === null) return null;
  if (lag.correct) return "lag corrected: the method's precision does not hold";
  if (lagCelsius === null) return 'lag not corrected; how much it makes now is not known';
  const size = Math.abs(lagCelsius);
  if (size < 0.05) return 'lag below 0.1 °C at this ramp; not corrected';
  return `reads about ${fixed(size, 1)} °C ${lagCelsius > 0 ? 'low' : 'high'} at this ramp; not corrected`;
}
