import { describe, expect, it } from 'vitest';
import { correctedWords } from '../src/views/pastRuns';

describe('a run in the list of past ones', () => {
  it('says that it was corrected, and how often', () => {
    expect([0, 1, 3].map(correctedWords)).toEqual(['', ', corrected', ', corrected 3 times']);
  });
});
