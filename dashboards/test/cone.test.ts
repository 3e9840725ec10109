import { describe, expect, it } from 'vitest';
import { bandEnd, conePolygon } from '../src/chart/cone';
import type { BandEntered } from '../src/contract';

const entered = (untilCelsius: number | null): BandEntered => ({ kind: 'band-entered', atSeconds: 100, temperatureCelsius: 60, band: { from: 6, to: 12 }, untilCelsius });

describe('the cone of a band', () => {
  it('opens from its tip at the two rates', () => {
    // 6 and 12 °C/min are 0.1 and 0.2 °C/s.
    expect(conePolygon(entered(null), 200)).toEqual([
      { seconds: 100, celsius: 60 },
      { seconds: 200, celsius: 80 },
      { seconds: 200, celsius: 70 },
    ]);
  });

  it('stops at its last temperature, the slow edge later than the fast one', () => {
    expect(conePolygon(entered(80), 1000)).toEqual([
      { seconds: 100, celsius: 60 },
      { seconds: 200, celsius: 80 },
      { seconds: 300, celsius: 80 },
      { seconds: 300, celsius: 80 },
    ]);
  });

  it('is cut where time ends after the fast edge has arrived', () => {
    expect(conePolygon(entered(80), 250)).toEqual([
      { seconds: 100, celsius: 60 },
      { seconds: 200, celsius: 80 },
      { seconds: 250, celsius: 80 },
      { seconds: 250, celsius: 75 },
    ]);
  });

  it('is empty before its tip and when it has no room', () => {
    expect(conePolygon(entered(null), 100)).toEqual([]);
    expect(conePolygon(entered(60), 500)).toEqual([]);
  });
});

describe('the end of a band', () => {
  const time = [50, 150, 250, 350];

  it('is the newest time while it rules', () => {
    expect(bandEnd({ entered: entered(null), endSeconds: null }, { time, temperature: [50, 65, 75, 85] })).toBe(350);
  });

  it('is where the curve reaches the last temperature, gaps aside', () => {
    expect(bandEnd({ entered: entered(80), endSeconds: null }, { time, temperature: [90, null, 81, 85] })).toBe(250);
  });

  it('is where another band took over', () => {
    expect(bandEnd({ entered: entered(80), endSeconds: 200 }, { time, temperature: [50, 65, 81, 85] })).toBe(200);
  });
});
