import type { TesterOverview } from '../contract';
import { el, setAttribute, setText } from '../dom';
import { count, duration } from '../format';
import type { Condition } from '../state/testersView';
import { conditionGlyphs, conditionWords } from '../words';

/** How far a tester's readings can be believed, as glyph, word and age. */
export class ConditionChip {
  private readonly glyph = el('span', { class: 'chip-glyph', 'aria-hidden': 'true' });
  private readonly word = el('span');
  readonly element = el('span', { class: 'chip', 'data-testid': 'condition' }, this.glyph, this.word);

  set(condition: Condition, age: number | null): void {
    setAttribute(this.element, 'data-condition', condition);
    setText(this.glyph, conditionGlyphs[condition]);
    const since = condition === 'stale' && age !== null ? ` for ${duration(age)}` : '';
    setText(this.word, conditionWords[condition] + since);
  }
}

/** Age of the newest reading, in words. */
export function ageWords(age: number | null): string {
  return age === null ? 'no reading yet' : `last reading ${duration(age)} ago`;
}

/** What went wrong on the wire, or an empty text when nothing did. */
export function troubleWords(tester: TesterOverview): string {
  const { malformed, missed, repeated, late, queueFull, queueDepth, queueCapacity } = tester.counters;
  const words: string[] = [];
  if (malformed > 0) words.push(`${count(malformed)} refused`);
  if (missed > 0) words.push(`${count(missed)} ${tester.source.startsWith('mqtt') ? 'readings' : 'polls'} missed`);
  if (repeated > 0) words.push(`${count(repeated)} came twice`);
  if (late > 0) words.push(`${count(late)} came late`);
  if (queueFull > 0) words.push(`queue full ${count(queueFull)} times`);
  if (queueDepth * 2 > queueCapacity) words.push(`queue ${count(queueDepth)} of ${count(queueCapacity)}`);
  if (words.length > 0 && tester.lastRefusal !== null) words.push(`last refusal: ${tester.lastRefusal}`);
  return words.join(' · ');
}
