import { describe, expect, it } from 'vitest';
import { DrivenTester } from '../mock/drivenTester';
import type { DriveOverview } from '../src/contract';
import {
  acknowledgeLine, heaterBarLine, heaterByLine, heaterCardLine, heaterCautions, heaterSpoken, heaterState, heaterStateWords, isOffKey, limitLine, percent, powerLine, whyNotPerson,
} from '../src/views/heaterWords';

const off: DriveOverview = {
  on: false, onBy: null, askedFraction: 0, givenFraction: 0, flameOver: false, secondsSinceAcknowledged: 0.2, highestCelsius: 320, trips: [],
};
const on: DriveOverview = { ...off, on: true, onBy: 'A. Berg', askedFraction: 0.424, givenFraction: 0.41 };
const text = 'The reading was 322.4 °C, above the limit of 320 °C.';
const tripped: DriveOverview = { ...off, trips: [{ code: 'heater-over-temperature', text, since: '2026-03-04T09:20:00+00:00' }] };

const disobeyed: DriveOverview = { ...tripped, givenFraction: 0.2, trips: [{ ...tripped.trips[0]!, code: 'heater-not-obeyed' }] };

describe('how the heater stands', () => {
  it('is on, off, cut, disobeyed, or not known, each in a sign and words of its own', () => {
    expect([on, off, tripped, disobeyed].map((drive) => heaterState(drive, true))).toEqual(['on', 'off', 'tripped', 'disobeys']);
    expect([on, off, tripped].map((drive) => heaterState(drive, false))).toEqual(['unknown', 'unknown', 'unknown']);
    const words = Object.values(heaterStateWords);
    expect(new Set(words.map((one) => one.word)).size).toBe(words.length);
    expect(heaterStateWords.on.glyph).not.toBe(heaterStateWords.off.glyph);
  });

  it('is simply off where a person turned it off or the result is complete', () => {
    for (const code of ['heater-operator-stop', 'heater-result-complete', 'heater-run-not-open', 'heater-service-stopping']) expect(heaterState({ ...tripped, trips: [{ ...tripped.trips[0]!, code }] }, true)).toBe('off');
    expect(heaterBarLine(off, 'off')).toBe('○ The heater is off');
    expect(heaterBarLine(on, 'on')).toBe('● The heater is on, 42\u00a0%');
    expect(heaterBarLine(off, 'unknown')).toBe('? How the heater stands is not known');
  });

  it('names who turned it on, and never claims a state by old news', () => {
    expect(heaterByLine(on, 'on')).toBe('Turned on by A. Berg, who stays at the cup.');
    expect(heaterByLine(on, 'unknown')).toContain('The last was: on. Look at the tester itself.');
    expect(heaterByLine(disobeyed, 'disobeys')).toContain('at the mains');
  });

  it('says what is still given right after it was turned off, and cries only once the guard does', () => {
    const falling = { ...off, givenFraction: 0.2 };
    expect(heaterState(falling, true)).toBe('off');
    expect(heaterByLine(falling, 'off')).toBe('Nothing heats until a person turns it on. The tester still gives 20\u00a0%.');
    expect(heaterState({ ...disobeyed, givenFraction: 0 }, true)).toBe('tripped');
  });

  it('gives asked and given power as figures, and says where nothing is told', () => {
    expect(powerLine(on)).toBe('42\u00a0% asked, 41\u00a0% given');
    expect(powerLine({ ...on, givenFraction: null })).toBe('42\u00a0% asked, what is given is not told');
    expect([0, 0.004, 0.05, 1].map(percent)).toEqual(['0\u00a0%', '0.4\u00a0%', '5.0\u00a0%', '100\u00a0%']);
  });

  it('says whether the tester acknowledges', () => {
    expect(acknowledgeLine(on)).toEqual({ good: true, text: '✓ yes, 0.2 s ago' });
    expect(acknowledgeLine({ ...on, secondsSinceAcknowledged: 3.4 })).toEqual({ good: false, text: '✕ no, not for 3.4 s' });
    expect(acknowledgeLine({ ...on, secondsSinceAcknowledged: null }).good).toBe(false);
  });

  it('gives the limit and the room below it', () => {
    expect(limitLine(on, 210.2)).toBe('off above 320 °C, 110 °C below it now');
    expect(limitLine(on, 322.4)).toBe('▲ off above 320 °C, now 2 °C above it');
    expect(limitLine(on, null)).toBe('off above 320 °C');
  });

  it('is told aloud with the whole text of a trip, and without figures that move', () => {
    expect(heaterSpoken(tripped, 'tripped')).toContain(text);
    expect(heaterSpoken(on, 'on')).not.toContain('%');
    expect(heaterCardLine(tripped, true)).toBe(`▲ Heater: off: cut by the guard · ${text}`);
    expect(heaterCardLine(on, true)).toBe('● Heater: on · 42\u00a0% asked');
  });
});

describe('turning it on and off', () => {
  it('off is the key 0, pressed once and alone', () => {
    const press = (key: string, more = {}): boolean => isOffKey({ key, repeat: false, ctrlKey: false, altKey: false, metaKey: false, ...more });
    expect(press('0')).toBe(true);
    expect(press('1')).toBe(false);
    for (const held of ['repeat', 'ctrlKey', 'altKey', 'metaKey']) expect(press('0', { [held]: true })).toBe(false);
  });

  it('on needs a name of 1 to 80 characters', () => {
    expect(whyNotPerson('A. Berg')).toBeNull();
    expect(whyNotPerson('')).toContain('1 to 80');
    expect(whyNotPerson('x'.repeat(81))).toContain('81 characters');
  });

  it('comes after cautions about the cut-out, being alone, the lid, the extraction and what this program is not', () => {
    const all = heaterCautions.join(' ');
    for (const word of ['independent', 'never leave it alone', 'lid', 'extraction', 'not a safety device']) expect(all).toContain(word);
  });

  it('works on the mock tester as the contract says: a trip falls when a person turns it on, off is a trip of its own', () => {
    const tester = new DrivenTester(true);
    expect(heaterState(tester.overview, true)).toBe('tripped');
    expect(tester.heater({ on: true, person: '' })).toMatchObject({ kind: 'refused' });
    expect(tester.heater({ on: true, person: 'A. Berg' })).toEqual({ kind: 'done' });
    expect(tester.overview).toMatchObject({ on: true, onBy: 'A. Berg', trips: [] });
    expect(tester.heater({ on: false })).toEqual({ kind: 'done' });
    expect(tester.overview).toMatchObject({ on: false, onBy: null, askedFraction: 0, givenFraction: 0, trips: [{ code: 'heater-operator-stop' }] });
  });
});
