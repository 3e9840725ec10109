import { describe, expect, it } from 'vitest';
import type { RunOutput } from '../src/contract';
import { readFacts } from '../src/state/runFacts';
import { fallenIndices, standing } from '../src/state/standingFacts';

const made = (atSeconds: number): RunOutput => ({ kind: 'observation-made', atSeconds, readingSeconds: atSeconds, seen: 'flash', person: null });
const back = (atSeconds: number, observedSeconds: number): RunOutput => ({ kind: 'observation-withdrawn', atSeconds, readingSeconds: atSeconds, observedSeconds, seen: 'flash', person: null });
const started = (number: number, atSeconds: number): RunOutput => ({ kind: 'application-started', atSeconds, number, temperatureCelsius: 207, evidence: 'person' });
const flash = (atSeconds: number): RunOutput => ({ kind: 'flash-detected', atSeconds, temperatureCelsius: 207, applicationNumber: 1 });
const alarm = (atSeconds: number): RunOutput => ({ kind: 'alarm-raised', atSeconds, code: 'specimen-burning', text: 'It burns.' });
const over = (atSeconds: number): RunOutput => ({ kind: 'alarm-cleared', atSeconds, code: 'specimen-burning' });

describe('what was taken back', () => {
  const events = [made(1), started(1, 1), made(5), started(2, 5), flash(5), alarm(5), back(8, 5), over(8), made(9), started(2, 9)];

  it('falls with all that followed it, and the alarms stay', () => {
    expect([...fallenIndices(events)]).toEqual([2, 3, 4]);
    expect(standing(events).map((event) => event.atSeconds)).toEqual([1, 1, 5, 8, 8, 9, 9]);
    expect(readFacts(events)).toMatchObject({ flash: null, applications: [{ number: 1 }, { number: 2, timeSeconds: 9 }], alarms: [{ fromSeconds: 5, toSeconds: 8 }] });
  });

  it('leaves a run in which nothing was taken back as it is', () => {
    const plain = events.slice(0, 5);
    expect(standing(plain)).toBe(plain);
  });
});
