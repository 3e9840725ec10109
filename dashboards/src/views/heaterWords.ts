import type { DriveOverview, DriveTrip } from '../contract';
import { duration, fixed } from '../format';
import { alone } from './typing';

/** How the heater of a driven tester stands. `unknown`: nothing new has come. `disobeys`: off is asked, and power is given all the same. */
export type HeaterState = 'on' | 'off' | 'tripped' | 'disobeys' | 'unknown';

/** Power below this counts as none, as it does in the guard of the service. */
const nearlyNothing = 0.005;
const notObeyed = 'heater-not-obeyed';
/** A command that the tester said it obeys less long ago than this is the newest, s: commands go out several times a second. */
const acknowledgedSeconds = 2;

/** Ends that are no trouble: a person turned it off, the result is complete, no run is open, the service was stopped. */
const quietCodes: ReadonlySet<string> = new Set(['heater-operator-stop', 'heater-result-complete', 'heater-run-not-open', 'heater-service-stopping']);

/** Whether a trip tells of trouble at the tester, not of an end that was wanted. */
export function isTrouble(trip: DriveTrip): boolean {
  return !quietCodes.has(trip.code);
}

export function heaterState(drive: DriveOverview, live: boolean): HeaterState {
  if (!live) return 'unknown';
  if (drive.on) return 'on';
  if (drive.trips.some((trip) => trip.code === notObeyed) && stillGiven(drive) !== '') return 'disobeys';
  return drive.trips.some(isTrouble) ? 'tripped' : 'off';
}

/** A glyph and a word for each: no state is told by its colour alone. */
export const heaterStateWords: Record<HeaterState, { readonly glyph: string; readonly word: string }> = {
  on: { glyph: '●', word: 'On' },
  off: { glyph: '○', word: 'Off' },
  tripped: { glyph: '▲', word: 'Off: cut by the guard' },
  disobeys: { glyph: '▲', word: 'Off, but the tester gives power' },
  unknown: { glyph: '?', word: 'Not known' },
};

/** What the tester still gives while off is asked: for a moment that is so after every turning off. */
function stillGiven({ givenFraction }: DriveOverview): string {
  return givenFraction !== null && givenFraction > nearlyNothing ? ` The tester still gives ${percent(givenFraction)}.` : '';
}

/** What stands under the state. */
export function heaterByLine(drive: DriveOverview, state: HeaterState): string {
  switch (state) {
    case 'on':
      return drive.onBy === null ? 'Somebody has to stay at the cup.' : `Turned on by ${drive.onBy}, who stays at the cup.`;
    case 'off':
      return `Nothing heats until a person turns it on.${stillGiven(drive)}`;
    case 'tripped':
      return `It stays off until a person turns it on again.${stillGiven(drive)}`;
    case 'disobeys':
      return 'Cut the tester’s power at the mains now.';
    case 'unknown':
      return `There is no news from the tester. The last was: ${drive.on ? 'on' : 'off'}. Look at the tester itself.`;
  }
}

export function percent(fraction: number): string {
  return `${fixed(fraction * 100, fraction > 0 && fraction < 0.0995 ? 1 : 0)}\u00a0%`;
}

export function powerLine(drive: DriveOverview): string {
  return `${percent(drive.askedFraction)} asked, ${drive.givenFraction === null ? 'what is given is not told' : `${percent(drive.givenFraction)} given`}`;
}

export function acknowledgeLine({ secondsSinceAcknowledged: seconds }: DriveOverview): { readonly good: boolean; readonly text: string } {
  if (seconds === null) return { good: false, text: '✕ no, not once yet' };
  return seconds <= acknowledgedSeconds ? { good: true, text: `✓ yes, ${duration(seconds)} ago` } : { good: false, text: `✕ no, not for ${duration(seconds)}` };
}

export function flameLine(drive: DriveOverview): string {
  return drive.flameOver ? '▶ over the cup' : 'away from the cup';
}

/** The limit with the room below it. */
export function limitLine(drive: DriveOverview, celsius: number | null): string {
  const limit = `off above ${fixed(drive.highestCelsius, 0)} °C`;
  if (celsius === null) return limit;
  const room = drive.highestCelsius - celsius;
  return room >= 0 ? `${limit}, ${fixed(room, 0)} °C below it now` : `▲ ${limit}, now ${fixed(-room, 0)} °C above it`;
}

/** One line for a tester's card. */
export function heaterCardLine(drive: DriveOverview, live: boolean): string {
  const state = heaterState(drive, live);
  const { glyph, word } = heaterStateWords[state];
  const more = state === 'on' ? ` · ${percent(drive.askedFraction)} asked` : state === 'tripped' ? ` · ${drive.trips.find(isTrouble)?.text ?? ''}` : '';
  return `${glyph} Heater: ${word.charAt(0).toLowerCase()}${word.slice(1)}${more}`;
}

/** What stands beside the button that turns it off. */
export function heaterBarLine(drive: DriveOverview, state: HeaterState): string {
  const { glyph, word } = heaterStateWords[state];
  if (state === 'unknown') return `${glyph} How the heater stands is not known`;
  return state === 'on' ? `${glyph} The heater is on, ${percent(drive.askedFraction)}` : `${glyph} The heater is ${word.charAt(0).toLowerCase()}${word.slice(1)}`;
}

/** What a listener is told when it changes; figures that move all the time are not in it. */
export function heaterSpoken(drive: DriveOverview, state: HeaterState): string {
  const word = `Heater: ${heaterStateWords[state].word}. ${heaterByLine({ ...drive, givenFraction: null }, state)}`;
  return state === 'tripped' || state === 'disobeys' ? `${word} ${drive.trips.map((trip) => trip.text).join(' ')}`.trim() : word;
}

/** The key that turns the heater off, wherever it is pressed outside a field. */
export const offKey = '0';

export function isOffKey(event: Parameters<typeof alone>[0] & { readonly key: string }): boolean {
  return alone(event) && event.key === offKey;
}

/** Read before the heater is turned on. */
export const heaterCautions: readonly string[] = [
  'The heater has its own over-temperature cut-out, independent of this program, and it has been tested.',
  'You stay at the cup until it is cold: never leave it alone, never turn it on from another room.',
  'The lid is within reach, the shield in place, nothing else that burns near by.',
  'The extraction is as the method allows, with still air over the cup.',
  'This program is not a safety device. It can fail, and so can the wire to the tester.',
];

/** Why a name is not taken; null where it is. */
export function whyNotPerson(name: string): string | null {
  if (name === '') return 'Say who turns it on and stays at the cup: 1 to 80 characters.';
  return name.length > 80 ? `${name.length} characters were given; allowed are 1 to 80.` : null;
}
