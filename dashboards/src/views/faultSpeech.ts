import type { ReadingMark } from '../contract';
import { el, setText } from '../dom';
import { badMarks, faultWords } from './markWords';

// A loose contact comes and goes many times a second: its end is told once there was peace for as long as the service's alarm needs.
const peaceMilliseconds = 3000;

/** What has been said aloud of a thermometer. */
export interface Spoken {
  /** The faults told since the thermometer was last sound; empty while it is. */
  readonly faults: readonly ReadingMark[];
  /** Since when it has been sound again, on the browser's clock, ms; null while it is not. */
  readonly soundSince: number | null;
}

export const nothingSpoken: Spoken = { faults: [], soundSince: null };

/** What has been told after the newest reading: each fault once, the end once. */
export function speak(spoken: Spoken, marks: readonly ReadingMark[], now: number): Spoken {
  const fresh = badMarks(marks).filter((mark) => !spoken.faults.includes(mark));
  if (fresh.length > 0) return { faults: [...spoken.faults, ...fresh], soundSince: null };
  if (badMarks(marks).length > 0) return spoken.soundSince === null ? spoken : { ...spoken, soundSince: null };
  if (spoken.faults.length === 0) return spoken;
  if (spoken.soundSince === null) return { ...spoken, soundSince: now };
  return now - spoken.soundSince < peaceMilliseconds ? spoken : nothingSpoken;
}

/** Tells a listener when the temperature on the screen is not used, and when it is again. */
export class FaultSpeech {
  readonly element = el('p', { class: 'only-heard', role: 'status', 'aria-live': 'polite', 'data-testid': 'thermometer-heard' });
  private spoken = nothingSpoken;

  /** Null where no status says anything of the thermometer: then nothing is said of it either. */
  set(name: string, marks: readonly ReadingMark[] | null, now: number): void {
    const before = this.spoken;
    if (marks === null) {
      this.spoken = nothingSpoken;
      setText(this.element, '');
      return;
    }
    this.spoken = speak(before, marks, now);
    const fault = faultWords(this.spoken.faults);
    if (fault !== null) setText(this.element, `${name}: ${fault}. The temperature shown is not used.`);
    else if (before.faults.length > 0) setText(this.element, `${name}: the thermometer is read again.`);
  }
}
