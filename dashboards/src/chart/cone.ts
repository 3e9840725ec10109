import type { BandEntered } from '../contract';
import type { BandSpan } from '../state/runFacts';
import type { Curve } from '../state/runView';

/** A corner of a polygon: s on the run's axis, °C. */
export interface Corner {
  readonly seconds: number;
  readonly celsius: number;
}

/**
 * The cone of temperatures that the allowed rates reach from the band's tip, up to the band's last temperature
 * or the time given, whichever comes first. Empty when none of it lies before that time.
 */
export function conePolygon(entered: BandEntered, endSeconds: number): readonly Corner[] {
  const { atSeconds, temperatureCelsius, band, untilCelsius } = entered;
  const top = untilCelsius ?? Number.POSITIVE_INFINITY;
  if (endSeconds <= atSeconds || top <= temperatureCelsius) return [];

  const at = (rate: number, seconds: number): Corner => ({
    seconds,
    celsius: Math.min(top, temperatureCelsius + (rate / 60) * (seconds - atSeconds)),
  });
  const reached = (rate: number): number => Math.min(endSeconds, atSeconds + ((top - temperatureCelsius) * 60) / rate);

  const tip: Corner = { seconds: atSeconds, celsius: temperatureCelsius };
  const upper = at(band.to, reached(band.to));
  const lower = at(band.from, reached(band.from));
  // Between the two edges the outline follows the last temperature, then the end in time.
  const roof = lower.seconds > upper.seconds ? [{ seconds: lower.seconds, celsius: upper.celsius }] : [];
  return [tip, upper, ...roof, lower];
}

/** When a band stopped to rule: the curve reached its last temperature, another band took over, or now. s. */
export function bandEnd(span: BandSpan, curve: Pick<Curve, 'time' | 'temperature'>): number {
  const { atSeconds, untilCelsius } = span.entered;
  const newest = curve.time.at(-1) ?? atSeconds;
  const end = Math.min(newest, span.endSeconds ?? newest);
  if (untilCelsius === null) return end;
  const index = curve.temperature.findIndex((value, i) => value !== null && value >= untilCelsius && (curve.time[i] ?? 0) > atSeconds);
  return Math.min(end, curve.time[index] ?? end);
}
