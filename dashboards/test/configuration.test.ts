import { describe, expect, it } from 'vitest';
import type { ConfigurationOverview } from '../src/contract';
import { configurationWords } from '../src/views/configurationNote';
import sent from './fixtures/service-configuration.json';
import { list, moment, number, orNull, shape, text } from './shape';

const overview = shape<ConfigurationOverview>({
  file: orNull(text), takenAt: moment, taken: number, refused: number, added: number, changed: number, removed: number, mistakes: list(text), waiting: list(text),
});

describe('the configuration', () => {
  it('comes as the page expects it', () => {
    expect(overview(sent, 'configuration').added).toBe(1);
  });

  it('is told with every mistake, or with what waits, and not at all where it is in force', () => {
    const state = overview(sent, 'configuration');
    expect(configurationWords(state)).toEqual([
      'The configuration was changed and has 1 mistake: nothing of it is taken, the testers go on as they are.',
      'acquire.json: testers[0].source.baudRate: given 50; allowed: a whole number from 110 to 4000000',
    ]);
    expect(configurationWords({ ...state, mistakes: [] })).toEqual(['Tester bench-1 is changed once its run has ended.']);
    expect(configurationWords({ ...state, mistakes: [], waiting: [] })).toEqual([]);
  });
});
