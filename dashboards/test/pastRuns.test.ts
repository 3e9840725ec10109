import { describe, expect, it } from 'vitest';
import { correctedWords, importedWords, isReadable, standingOf } from '../src/views/pastRuns';
import { summaryOf, updateFixture } from './fixtures';

describe('a run in the list of past ones', () => {
  it('says that it was corrected, and how often', () => {
    expect([0, 1, 3].map(correctedWords)).toEqual(['', ', corrected', ', corrected 3 times']);
  });

  it('is damaged where its record cannot be read, whatever else is known of it, and says what', () => {
    const closedAt = '2026-03-02T10:00:15.123+00:00';
    const damaged = { words: '! Damaged', kind: 'damaged', title: "Cannot be read of its record: its start: 'yesterday' is not a time" };
    const damage = "its start: 'yesterday' is not a time";
    for (const more of [{ closedAt }, {}, { interrupted: true }]) expect(standingOf(summaryOf('r-1', { ...more, result: null, damage }))).toEqual(damaged);
    expect(standingOf(summaryOf('r-1', { closedAt, result: null }))).toEqual({ words: 'no result', kind: null, title: null });
    expect([{ closedAt: null }, { closedAt, interrupted: true }].map((more) => standingOf(summaryOf('r-1', { ...more, result: null })).words)).toEqual(['running', 'interrupted']);
    expect([isReadable('0001-01-01T00:00:00+00:00'), isReadable(updateFixture.summary.startedAt)]).toEqual([false, true]);
  });

  it('says that it was not made here', () => {
    expect(importedWords(null)).toBe('');
    expect(importedWords('0b4c6a0e-6c1f-4a35-9d13-6f0e2d5c7a11')).toBe(', imported');
  });
});
