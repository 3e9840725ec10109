import type { RunStatus, Sighting } from '../contract';
import { fixed } from '../format';
import { sightingWords } from '../words';
import { portionLine } from './equilibriumWords';
import { badMarks } from './markWords';
import { alone } from './typing';

/** What the panel of a guided run says now. */
export interface GuideLine {
  readonly kind: 'wait' | 'apply' | 'burning' | 'unsure';
  readonly text: string;
  readonly detail: string;
}

/** One key of the panel. The digits stand on the keys of a keyboard as well. */
export interface SightingKey {
  readonly digit: string;
  readonly seen: Sighting;
  readonly word: string;
}

export const sightingKeys: readonly SightingKey[] = [
  { digit: '1', seen: 'nothing', word: 'Nothing' },
  { digit: '2', seen: 'halo', word: 'Halo' },
  { digit: '3', seen: 'flash', word: 'Flash' },
  { digit: '4', seen: 'burning', word: 'Burning' },
];

/** Only while the specimen burns. */
export const wentOutKey: SightingKey = { digit: '5', seen: 'went-out', word: 'Went out' };

/** A prompt is a request to put a flame over hot oil: it is made only of what is known now. */
export function guideLine(status: RunStatus | null, live: boolean): GuideLine {
  if (status?.burningSeconds != null) {
    return {
      kind: 'burning',
      text: 'The specimen is burning',
      detail: 'Keep clear, have the lid ready, follow the method and the local fire rules. Record it when it has gone out.',
    };
  }
  if (status === null || status.temperatureCelsius === null) return { kind: 'unsure', text: 'No temperature yet', detail: 'Do not apply the test flame by this page.' };
  if (!live) return { kind: 'unsure', text: 'No news from the tester', detail: 'What is shown is old. Do not apply the test flame by this page; look at the tester.' };
  if (badMarks(status.thermometerMarks).length > 0) return { kind: 'unsure', text: 'The thermometer cannot be relied on now', detail: 'Whether an application is due is not known. See to the thermometer.' };
  if (status.promptNumber !== null && status.promptDueCelsius !== null) {
    return {
      kind: 'apply',
      text: 'Apply the test flame now',
      detail: `Application ${status.promptNumber}, due at ${fixed(status.promptDueCelsius, 1)} °C. Look at the cup first; then record what you saw.`,
    };
  }
  const portion = portionLine(status);
  if (portion !== null) return { kind: 'wait', text: portion.text, detail: portion.detail };
  const next = status.nextApplicationCelsius;
  return { kind: 'wait', text: next === null ? 'No application is due' : `Wait for ${fixed(next, 1)} °C`, detail: next === null ? 'Let the cup cool before you touch it.' : 'You are asked shortly before.' };
}

/** Whether a key may be pressed now. While the specimen burns only its end can be recorded; burning can be recorded at any time. */
export function mayRecord(seen: Sighting, status: RunStatus | null): boolean {
  if (status === null || status.temperatureCelsius === null) return false;
  if (status.burningSeconds !== null) return seen === 'went-out';
  if (status.portions !== null) return seen !== 'went-out' && (seen === 'burning' || status.phase === 'portion-waiting' || status.phase === 'applying-test-flame');
  return seen !== 'went-out' && (seen === 'burning' || (status.phase !== 'cooling' && status.phase !== 'closed' && status.observedFireCelsius === null));
}

type Key = Parameters<typeof alone>[0] & { readonly key: string };

/** What a key of the keyboard records; null for any other key, for a held one, and for one that belongs to something else. */
export function sightingOfKey(event: Key): Sighting | null {
  if (!alone(event)) return null;
  return [...sightingKeys, wentOutKey].find(({ digit }) => digit === event.key)?.seen ?? null;
}

/** Whether a key of the keyboard takes the newest observation back. */
export function isTakeBackKey(event: Key): boolean {
  return alone(event) && event.key === 'Backspace';
}

/** What can be taken back now, in words with the seconds left; null where nothing can. */
export function takeBackLine(status: RunStatus | null): { readonly text: string; readonly atSeconds: number } | null {
  if (status?.withdrawableSighting == null || status.withdrawableAtSeconds === null) return null;
  const left = Math.ceil(status.withdrawableSeconds ?? 0);
  return left <= 0 ? null : { text: `Take back “${sightingWords[status.withdrawableSighting]}” (${left} s)`, atSeconds: status.withdrawableAtSeconds };
}

/** What is typed as the name of the person at the cup: what goes into the record with a key, and why nothing does. A key is never lost to a name. */
export function personTyped(text: string): { readonly name: string | null; readonly fault: string | null } {
  const name = text.trim();
  if (name === '') return { name: null, fault: null };
  if (name.length > 80) return { name: null, fault: `${name.length} characters; the record takes up to 80. Keys go in without a name.` };
  const fits = /^[\p{L}\p{N}]/u.test(name) && !/[\p{C}\p{Zl}\p{Zp}]/u.test(name);
  return fits ? { name, fault: null } : { name: null, fault: 'A name begins with a letter or digit and holds only characters that can be printed. Keys go in without a name.' };
}
