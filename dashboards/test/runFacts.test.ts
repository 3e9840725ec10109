import { describe, expect, it } from 'vitest';
import { readFacts } from '../src/state/runFacts';
import { eventWords } from '../src/words';
import { updateFixture } from './fixtures';

describe('the facts of a run', () => {
  const facts = readFacts(updateFixture.events);

  it('put the phases end to end', () => {
    expect(facts.phases.map((span) => [span.phase, span.from, span.to])).toEqual([
      ['ready', 0, 0.1],
      ['fast-heating', 0.1, 480],
      ['controlled-heating', 480, 1310],
      ['cooling', 1310, 1400],
    ]);
  });

  it('end a band where the next one or the cooling begins', () => {
    expect(facts.bands.map((span) => span.endSeconds)).toEqual([700, 1310]);
  });

  it('hold an application that is not judged yet', () => {
    expect(facts.applications.map((mark) => [mark.number, mark.judged?.flash ?? null])).toEqual([
      [1, false],
      [2, null],
    ]);
  });

  it('place the fire point at the onset of the burning', () => {
    expect(facts.fire).toEqual({ timeSeconds: 1300, temperatureCelsius: 256.3 });
    expect(facts.flash).toEqual({ timeSeconds: 1010.6, temperatureCelsius: 230.2 });
  });

  it('end an alarm when it is cleared', () => {
    expect(facts.alarms).toEqual([{ code: 'heating-too-fast', text: 'Reduce the heat.', fromSeconds: 300, toSeconds: 340 }]);
  });

  it('say Ready before anything was stated', () => {
    expect(readFacts([]).phases).toEqual([{ phase: 'ready', from: 0, to: null }]);
  });

  it('have words for every kind of event', () => {
    for (const event of updateFixture.events) expect(eventWords(event)).not.toContain('undefined');
    expect(updateFixture.events.map((event) => event.kind)).toEqual(expect.arrayContaining(['burn-ended', 'finding-raised', 'run-closed']));
  });
});
