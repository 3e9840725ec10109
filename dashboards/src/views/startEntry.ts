import type { InputError, StartRunRequest } from '../contract';

/** What was typed into the start form. */
export interface StartEntry {
  readonly methodId: string;
  readonly expectedFlash: string;
  readonly stationPressure: string;
  readonly specimen: string;
}

/**
 * The request that the entry asks for, or what is not even a number in it. Ranges and limits are not judged here:
 * the service owns them and answers with the field and the range.
 */
export function readEntry(entry: StartEntry): { readonly request: StartRunRequest } | { readonly errors: readonly InputError[] } {
  const errors: InputError[] = [];
  const expected = readNumber(entry.expectedFlash);
  const pressure = readNumber(entry.stationPressure);
  if (expected === null) errors.push({ path: 'expectedFlashCelsius', message: 'Give the flash point you expect, in °C.' });
  if (Number.isNaN(expected)) errors.push({ path: 'expectedFlashCelsius', message: 'This is not a number. Write it like 230 or 230.5.' });
  if (Number.isNaN(pressure)) errors.push({ path: 'stationPressureKilopascals', message: 'This is not a number. Write it like 100.2, or leave it empty.' });
  if (errors.length > 0 || expected === null) return { errors };
  return {
    request: {
      methodId: entry.methodId,
      expectedFlashCelsius: expected,
      stationPressureKilopascals: pressure,
      specimen: entry.specimen.trim(),
    },
  };
}

/** The path's last name, in the form the fields use: `$.Specimen` becomes `specimen`. */
export function fieldOf(path: string): string {
  const name = path.split('.').at(-1) ?? '';
  return name.charAt(0).toLowerCase() + name.slice(1);
}

/** Null for nothing typed, NaN for something that is no plain decimal number. A comma counts as the decimal sign. */
function readNumber(text: string): number | null {
  const trimmed = text.trim().replace(',', '.').replace('\u2212', '-');
  if (trimmed === '') return null;
  return /^[+-]?\d+(\.\d+)?$/.test(trimmed) ? Number(trimmed) : Number.NaN;
}
