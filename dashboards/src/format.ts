// Numbers for reading: fixed decimals, a true minus sign, the unit never far.

const minus = '\u2212';
const thousands = new Intl.NumberFormat('en-GB');

/** A number with fixed decimals; the words given (default `none`) for a missing one. */
export function fixed(value: number | null | undefined, decimals: number, missing = 'none'): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return missing;
  const text = value.toFixed(decimals);
  return text.startsWith('-') ? (Number(text) === 0 ? text.slice(1) : minus + text.slice(1)) : text;
}

/** The number as short as it is exact to three decimals: 5, 0.25, −1.5. */
export function plain(value: number): string {
  return fixed(value, 3).replace(/\.?0+$/, '');
}

/** The figure for the report; an invalid run has none. */
export function reported(point: { readonly reportedCelsius: number | null }): string {
  return point.reportedCelsius === null ? 'not to be reported' : `${plain(point.reportedCelsius)} °C`;
}

/** A figure that may be small, never shown as zero when it is not: three decimals, or three digits below 0.1. */
export function figure(value: number): string {
  return Math.abs(value) >= 0.1 || value === 0 ? plain(value) : String(Number(value.toPrecision(3))).replace('-', minus);
}

/** A number with fixed decimals; `< 0.001` rather than a zero that it is not. */
export function fixedOrLess(value: number, decimals: number): string {
  const smallest = 10 ** -decimals;
  return value > 0 && value < smallest / 2 ? `<\u00a0${fixed(smallest, decimals)}` : fixed(value, decimals);
}

export function celsius(value: number | null | undefined, decimals = 1): string {
  return value === null || value === undefined ? 'none' : `${fixed(value, decimals)} °C`;
}

export function band(range: { readonly from: number; readonly to: number }): string {
  return `${plain(range.from)} to ${plain(range.to)} °C/min`;
}

export function count(value: number): string {
  return thousands.format(value);
}

/** Time on the run's axis: 4:07, 1:02:45. */
export function runTime(seconds: number): string {
  const whole = Math.floor(Math.abs(seconds));
  const sign = seconds <= -1 ? minus : '';
  const parts = [Math.floor((whole % 3600) / 60), whole % 60];
  const hours = Math.floor(whole / 3600);
  const tail = `${hours > 0 ? pad(parts[0] ?? 0) : (parts[0] ?? 0)}:${pad(parts[1] ?? 0)}`;
  return `${sign}${hours > 0 ? `${hours}:` : ''}${tail}`;
}

/** A length of time in words that fit its size: 0.4 s, 42 s, 3 min 5 s, 2 h 4 min. */
export function duration(seconds: number, decimalsBelowTen = 1): string {
  if (seconds < 9.95) return `${fixed(Math.max(0, seconds), decimalsBelowTen)} s`;
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  if (whole < 3600) return `${Math.floor(whole / 60)} min ${whole % 60} s`;
  return `${Math.floor(whole / 3600)} h ${Math.floor((whole % 3600) / 60)} min`;
}

/** Seconds left, without jitter: whole seconds, rounded up, never negative. */
export function countdown(seconds: number | null): string {
  return seconds === null ? 'cannot be told' : `${Math.max(0, Math.ceil(seconds - 0.05))} s`;
}

/** An instant in the reader's own time zone: 2026-03-04 17:05. */
export function localTime(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  const date = `${at.getFullYear()}-${pad(at.getMonth() + 1)}-${pad(at.getDate())}`;
  return `${date} ${pad(at.getHours())}:${pad(at.getMinutes())}`;
}

function pad(value: number): string {
  return String(value).padStart(2, '0');
}
