import type { InputError } from '../src/contract';
import { round } from './bench';

// Exactly 13.5951 × 9.80665 / 1000 for the conventional millimetre of mercury.
const perUnit: Readonly<Record<string, number>> = { kPa: 1, hPa: 0.1, mbar: 0.1, mmHg: 0.133322387415 };

/** The pressure in kPa; null where none is given or an error was added. */
export function stationPressure(text: string | null, errors: InputError[]): number | null {
  if (text === null) return null;
  const [number = '', unit = ''] = text.split(' ');
  const factor = perUnit[unit] ?? Number.NaN;
  const kilopascals = round(Number(number) * factor, 4);
  if (kilopascals >= 45 && kilopascals <= 110) return kilopascals;
  errors.push({ path: 'stationPressure', message: `${text} is not within ${round(45 / factor, 1)} to ${round(110 / factor, 1)} ${unit}; check the unit, and give the absolute pressure at the bench, not one reduced to sea level` });
  return null;
}
