import type { BandSpan } from '../state/runFacts';

/** A corner of a polygon: s on the run's axis, °C. */
export interface Corner {
  readonly seconds: number;
  readonly celsius: number;
}

/**
 * The cone of temperatures that the allowed rates reach from the band's tip, up to the band's last temperature,
 * the time it stopped to rule, or the newest time, whichever comes first. Empty when none of it is in the past.
 */
export function conePolygon(span: BandSpan, newestSeconds: number): readonly Corner[] {
  const { atSeconds, temperatureCelsius, band, untilCelsius } = span.entered;
  const end = Math.min(newestSeconds, span.endSeconds ?? newestSeconds);
  const top = untilCelsius ?? Number.POSITIVE_INFINITY;
  if (end <= atSeconds || top <= temperatureCelsius) return [];

  const at = (rate: number, seconds: number): Corner => ({
    seconds,
    celsius: Math.min(top, temperatureCelsius + (rate / 60) * (seconds - atSeconds)),
  });
  const reached = (rate: number): number => Math.min(end, atSeconds + ((top - temperatureCelsius) * 60) / rate);

  const tip: Corner = { seconds: atSeconds, celsius: temperatureCelsius };
  const upper = at(band.to, reached(band.to));
  const lower = at(band.from, reached(band.from));
  // Between the two edges the outline follows the last temperature, then the end in time.
  const roof = lower.seconds > upper.seconds ? [{ seconds: lower.seconds, celsius: upper.celsius }] : [];
  return [tip, upper, ...roof, lower];
}
