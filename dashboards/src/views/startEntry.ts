import type { InputError, PressureUnit, StartRunRequest } from '../contract';

/** The units of barometers, in the order of the choice. */
export const pressureUnits: readonly PressureUnit[] = ['kPa', 'hPa', 'mbar', 'mmHg'];

/** What was typed into the start form. */
export interface StartEntry {
  readonly methodId: string;
  readonly expectedFlash: string;
  readonly stationPressure: string;
  readonly pressureUnit: PressureUnit;
  readonly specimen: string;
  /** Empty: none that the method names. */
  readonly material: string;
  readonly scouting: boolean;
  /** Null where the method asks for none. */
  readonly specification: string | null;
  readonly fineStep: boolean;
}

/**
 * The request that the entry asks for, or what is not even a number in it. Ranges and limits are not judged here:
 * the service owns them and answers with the field and the range. A pressure is sent as it was read, never converted here.
 */
export function readEntry(entry: StartEntry): { readonly request: StartRunRequest } | { readonly errors: readonly InputError[] } {
  const errors: InputError[] = [];
  const unasked = entry.scouting || entry.specification !== null;
  const expected = unasked ? null : decimal(entry.expectedFlash);
  const specification = entry.specification === null ? null : decimal(entry.specification);
  const pressure = decimal(entry.stationPressure);
  if (expected === null && !unasked) errors.push({ path: 'expectedFlashCelsius', message: 'Give the flash point you expect, in °C.' });
  if (expected === 'unreadable') errors.push({ path: 'expectedFlashCelsius', message: 'This is not a number. Write it like 230 or 230.5.' });
  if (specification === null && entry.specification !== null) errors.push({ path: 'specificationCelsius', message: 'Give the temperature of the specification, in °C.' });
  if (specification === 'unreadable') errors.push({ path: 'specificationCelsius', message: 'This is not a number. Write it like 60 or 60.5.' });
  if (pressure === 'unreadable') errors.push({ path: 'stationPressure', message: 'This is not a number. Write it like 100.2, choose its unit beside it, or leave it empty.' });
  if (errors.length > 0) return { errors };
  return {
    request: {
      methodId: entry.methodId,
      expectedFlashCelsius: expected === null ? null : Number(expected),
      stationPressureKilopascals: null,
      specimen: entry.specimen.trim(),
      stationPressure: pressure === null ? null : `${pressure} ${entry.pressureUnit}`,
      material: entry.material === '' ? null : entry.material,
      scouting: entry.scouting,
      specificationCelsius: specification === null ? null : Number(specification),
      fineStep: entry.fineStep,
    },
  };
}

/** The path's last name, in the form the fields use: `$.Specimen` becomes `specimen`. */
export function fieldOf(path: string): string {
  const name = path.split('.').at(-1) ?? '';
  return name.charAt(0).toLowerCase() + name.slice(1);
}

/** The digits of a plain decimal number, as typed; null for nothing typed. A comma counts as the decimal sign. */
function decimal(text: string): string | 'unreadable' | null {
  const trimmed = text.trim().replace(',', '.').replace('\u2212', '-');
  if (trimmed === '') return null;
  return /^[+-]?\d+(\.\d+)?$/.test(trimmed) ? trimmed : 'unreadable';
}
