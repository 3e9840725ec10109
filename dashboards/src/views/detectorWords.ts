import type { DetectorCheck } from '../contract';

/** The check of the detector in one line: what it can tell, then what speaks against it and what to do. */
export function detectorCheckWords(check: DetectorCheck): string {
  const figures = [`${rounded(check.readingsPerSecond)} readings a second`];
  if (check.noise !== null) figures.push(`noise ${rounded(check.noise)}`);
  if (check.leastFlash !== null) figures.push(`a flash from ${rounded(check.leastFlash)} up is told`);
  return [`Detector check: ${check.trust}. ${figures.join(', ')}.`, ...check.reasons.map((reason) => reason.text)].join(' ');
}

/** Two digits, whatever the detector's unit; never an exponent where the number is 1 or more. */
function rounded(value: number): string {
  return String(Number(value.toPrecision(2)));
}
