import { describe, expect, it } from 'vitest';
import { correctedWords, importedWords } from '../src/views/pastRuns';

describe('a run in the list of past ones', () => {
  it('says that it was corrected, and how often', () => {
    expect([0, 1, 3].map(correctedWords)).toEqual(['', ', corrected', ', corrected 3 times']);
  });

  it('says that it was not made here', () => {
    expect(importedWords(null)).toBe('');
    expect(importedWords('0b4c6a0e-6c1f-4a35-9d13-6f0e2d5c7a11')).toBe(', imported');
  });
});
