import type { AmbientOverview, AmbientReading, BarometerReading } from '../contract';
import { duration, fixed } from '../format';

/** The barometer of a tester: the first of its shared sources that gave a pressure; null where none has. */
export function barometerOf(ambient: readonly AmbientOverview[] | null): { readonly name: string; readonly pressure: AmbientReading } | null {
  for (const source of ambient ?? []) {
    if (source.pressureKilopascals !== null) return { name: source.name, pressure: source.pressureKilopascals };
  }
  return null;
}

function value(reading: AmbientReading | null, decimals: number, unit: string): string | null {
  if (reading === null) return null;
  const shown = `${fixed(reading.value, decimals)} ${unit}`;
  return reading.stale ? `${shown} (${duration(reading.secondsAgo, 0)} ago, not used)` : shown;
}

/** What one shared source tells, in one line. A value that is too old is told with its age, and that it is not used. */
export function ambientLine(source: AmbientOverview): string {
  const told = [value(source.pressureKilopascals, 2, 'kPa'), value(source.ambientCelsius, 1, '°C'), value(source.airMetresPerSecond, 2, 'm/s')].filter((text) => text !== null);
  const trouble = source.connection === 'up' ? [] : [source.connectionText ?? 'not connected'];
  return `${source.name}: ${[...(told.length === 0 ? ['no reading yet'] : told), ...trouble].join(', ')}`;
}

/** What an empty field of the station pressure means for this tester now. */
export function emptyPressure(ambient: readonly AmbientOverview[] | null, standardKilopascals: string): string {
  const barometer = barometerOf(ambient);
  return barometer === null || barometer.pressure.stale ? `empty: ${standardKilopascals} kPa assumed` : `empty: ${fixed(barometer.pressure.value, 2)} kPa of ${barometer.name}`;
}

/** Where a run's station pressure came from, where nobody gave it. */
export function originWords(barometer: BarometerReading | null | undefined): string {
  if (barometer == null) return '';
  const age = barometer.ageSeconds === null ? '' : `, ${duration(barometer.ageSeconds, 0)} old`;
  return barometer.notUsed === null ? ` (${barometer.source}${age})` : ` (${barometer.source} not used: ${barometer.notUsed})`;
}
