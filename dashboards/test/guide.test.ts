import { describe, expect, it } from 'vitest';
import type { RunStatus, Sighting } from '../src/contract';
import { guideLine, isTakeBackKey, mayRecord, personTyped, sightingKeys, sightingOfKey, takeBackLine, wentOutKey } from '../src/views/guideWords';
import { askedNow, modeLine, modeMeaning } from '../src/views/modeWords';
import { soundWords } from '../src/views/soundWords';
import { eventWords } from '../src/words';
import { overviewFixture } from './fixtures';

const status: RunStatus = {
  ...overviewFixture[0]!.status!, phase: 'controlled-heating', burningSeconds: null, observedFireCelsius: null, thermometerMarks: [], nextApplicationCelsius: 207, temperatureCelsius: 206.6,
};
const asked: RunStatus = { ...status, promptNumber: 3, promptDueCelsius: 207 };

describe('the prompt of a guided run', () => {
  it('names the application, its temperature and a caution', () => {
    const line = guideLine(asked, true);
    expect([line.kind, line.text]).toEqual(['apply', 'Apply the test flame now']);
    expect(line.detail).toBe('Application 3, due at 207.0 °C. Look at the cup first; then record what you saw.');
  });

  it('asks for patience while nothing is due', () => {
    expect(guideLine(status, true)).toMatchObject({ kind: 'wait', text: 'Wait for 207.0 °C' });
    expect(guideLine({ ...status, nextApplicationCelsius: null }, true)).toMatchObject({ kind: 'wait', text: 'No application is due' });
  });

  it('never asks for a flame by what is old, unread or marked bad', () => {
    expect(guideLine(asked, false).kind).toBe('unsure');
    expect(guideLine(null, true).kind).toBe('unsure');
    expect(guideLine({ ...asked, temperatureCelsius: null }, true).kind).toBe('unsure');
    expect(guideLine({ ...asked, thermometerMarks: ['open-circuit'] }, true).kind).toBe('unsure');
  });

  it('speaks of the fire before anything else', () => {
    expect(guideLine({ ...asked, burningSeconds: 1.2 }, false)).toMatchObject({ kind: 'burning', text: 'The specimen is burning' });
  });
});

describe('the keys', () => {
  const seen: readonly Sighting[] = ['nothing', 'halo', 'flash', 'burning', 'went-out'];
  const open = (now: RunStatus | null): readonly Sighting[] => seen.filter((one) => mayRecord(one, now));

  it('are those that mean something now', () => {
    expect(open(status)).toEqual(['nothing', 'halo', 'flash', 'burning']);
    expect(open({ ...status, burningSeconds: 0 })).toEqual(['went-out']);
    expect(open({ ...status, phase: 'cooling' })).toEqual(['burning']);
    expect(open({ ...status, temperatureCelsius: null })).toEqual([]);
    expect(open(null)).toEqual([]);
  });

  it('are the digits of the keyboard, each of its own, pressed once and alone', () => {
    const press = (key: string, more = {}): Sighting | null => sightingOfKey({ key, repeat: false, ctrlKey: false, altKey: false, metaKey: false, ...more });
    expect(['1', '2', '3', '4', '5'].map((key) => press(key))).toEqual(seen);
    expect([...sightingKeys, wentOutKey].map((key) => key.seen)).toEqual(seen);
    for (const other of ['0', '6', 'a', 'Enter', ' ']) expect(press(other)).toBeNull();
    for (const held of ['repeat', 'ctrlKey', 'altKey', 'metaKey']) expect(press('3', { [held]: true })).toBeNull();
  });
});

describe('the log of a guided run', () => {
  it('says who asked and what was recorded', () => {
    expect(eventWords({ kind: 'application-prompted', atSeconds: 1, number: 3, dueCelsius: 207 })).toBe('Asked for application 3, due at 207.0 °C');
    expect(eventWords({ kind: 'observation-made', atSeconds: 1, readingSeconds: 0.9, seen: 'went-out', person: null })).toBe('Recorded by hand: went out');
    const application = { number: 3, timeSeconds: 1, temperatureCelsius: 207, durationSeconds: null, evidence: 'person', flash: true, significance: 0, unlit: false } as const;
    expect(eventWords({ kind: 'application-judged', atSeconds: 1, application })).toBe('Application 3: flash');
  });
});

describe('taking back', () => {
  const newest: RunStatus = { ...status, withdrawableSighting: 'flash', withdrawableAtSeconds: 812.43, withdrawableSeconds: 7.2 };

  it('names what would be taken back and the seconds left, and offers nothing once they are over', () => {
    expect(takeBackLine(newest)).toEqual({ text: 'Take back “flash” (8 s)', atSeconds: 812.43 });
    expect(takeBackLine({ ...newest, withdrawableSeconds: 0 })).toBeNull();
    expect(takeBackLine(status)).toBeNull();
    expect(takeBackLine(null)).toBeNull();
  });

  it('is the backspace key, pressed once and alone', () => {
    const press = (key: string, more = {}): boolean => isTakeBackKey({ key, repeat: false, ctrlKey: false, altKey: false, metaKey: false, ...more });
    expect(press('Backspace')).toBe(true);
    for (const held of ['repeat', 'ctrlKey', 'altKey', 'metaKey']) expect(press('Backspace', { [held]: true })).toBe(false);
    expect(press('Delete')).toBe(false);
  });

  it('is said in the log with who did it', () => {
    expect(eventWords({ kind: 'observation-withdrawn', atSeconds: 815, readingSeconds: 814.9, observedSeconds: 812.5, seen: 'flash', person: 'Ada' })).toBe('Taken back: flash, recorded 2.5 s before, by Ada');
    expect(eventWords({ kind: 'observation-made', atSeconds: 815, readingSeconds: 814.9, seen: 'flash', person: 'Ada' })).toBe('Recorded by hand: flash, by Ada');
  });
});

describe('what the page says of a mode', () => {
  it('tells that a guided tester is worked by hand, with every key, and nothing of an observed one', () => {
    expect([modeLine.observed, modeMeaning.observed]).toEqual([null, null]);
    expect(modeLine.guided).toContain('a person works the cup');
    for (const { digit, word } of [...sightingKeys, wentOutKey]) expect(modeMeaning.guided!.lines.join(' ')).toContain(`${digit} ${word.toLowerCase()}`);
    expect(modeMeaning.driven!.lines.join(' ')).toContain('no safety device');
  });

  it('puts a standing prompt on the card, but never by what is old', () => {
    const tester = { ...overviewFixture[0]!, mode: 'guided', status: asked } as const;
    expect(askedNow(tester, true)).toBe('▶ Asks for application 3 now: open to record it');
    expect(askedNow(tester, false)).toBe('');
    expect(askedNow({ ...tester, mode: 'observed' }, true)).toBe('');
    expect(askedNow({ ...tester, status: { ...asked, burningSeconds: 1 } }, true)).toBe('');
  });

  it('says when prompts are silent, in words and by a sign', () => {
    expect(soundWords.off).toEqual({ glyph: '✕', word: 'Prompts are silent: turn the sound on' });
    expect(soundWords.held.word).toContain('browser');
    expect(new Set(Object.values(soundWords).map((one) => one.word)).size).toBe(3);
  });
});

describe('the person at the cup', () => {
  it('may be left out, and a name that the record does not take costs no key', () => {
    expect(personTyped('  ')).toEqual({ name: null, fault: null });
    expect(personTyped(' Å. Berg ')).toEqual({ name: 'Å. Berg', fault: null });
    for (const bad of ['=1+1', '-', 'a\u202eb', 'x'.repeat(81)]) {
      expect(personTyped(bad).name, bad).toBeNull();
      expect(personTyped(bad).fault).toContain('Keys go in without a name');
    }
  });
});
