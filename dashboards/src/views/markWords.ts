import type { ReadingMark, RunStatus } from '../contract';

/** Marks that make a reading unfit for use, in a technician's words. */
const bad: ReadonlyMap<string, string> = new Map([
  ['open-circuit', 'open circuit'],
  ['short-circuit', 'short circuit'],
  ['reversed-polarity', 'wires exchanged'],
  ['stuck', 'stuck at one value'],
  ['impossible-jump', 'impossible jump'],
  ['out-of-range', 'out of range'],
  ['converter-saturated', 'converter at the end of its range'],
  ['stale', 'thermometer sends nothing'],
  ['junction-missing', 'reference junction not known'],
  ['transmitter-failure', 'transmitter failure'],
]);

/** Marks worth knowing, not bad in themselves. */
const harmless: ReadonlyMap<string, string> = new Map([
  ['late', 'came behind newer readings'],
  ['outside-calibration', 'outside the calibrated span, nearest correction used'],
  ['step-taken', 'a step that lasted was taken as real'],
  ['lag-uncorrected', 'lag not corrected yet'],
  ['resting', 'stands still'],
]);

/** The marks that make the newest reading unfit for use. A mark this page does not know counts among them: rather too careful. */
export function badMarks(marks: readonly ReadingMark[]): readonly ReadingMark[] {
  return marks.filter((mark) => !harmless.has(mark));
}

/** What is wrong with the newest reading: "open circuit"; null where nothing is. */
export function faultWords(marks: readonly ReadingMark[]): string | null {
  const words = badMarks(marks).map((mark) => bad.get(mark) ?? mark.replaceAll('-', ' '));
  return words.length === 0 ? null : words.join(', ');
}

/** What is worth knowing of a reading that is used; empty for nothing. */
export function noteWords(marks: readonly ReadingMark[]): string {
  return marks.flatMap((mark) => harmless.get(mark) ?? []).join('; ');
}

/** What stands beside a temperature while its newest reading is not used; null while it is. */
export function faultLine(status: RunStatus): string | null {
  const fault = faultWords(status.thermometerMarks);
  if (fault === null) return null;
  return status.temperatureCelsius === null ? `${fault}: not used.` : `${fault}: not used. Struck out: the last sound reading.`;
}

/** The status as it may be shown as current: without what hangs on a temperature that is not, where the newest reading is bad. */
export function currentOnly(status: RunStatus): RunStatus {
  if (badMarks(status.thermometerMarks).length === 0) return status;
  return { ...status, rateCelsiusPerMinute: null, rateUncertaintyCelsiusPerMinute: null, secondsToNextApplication: null, lagCelsius: null };
}
