import { describe, expect, it } from 'vitest';
import type { DetectorCheck } from '../src/contract';
import { detectorCheckWords } from '../src/views/detectorWords';

const good: DetectorCheck = {
  readingsPerSecond: 50.02, noise: 4.13, leastFlash: 30.9, quietSeconds: 120, wildReadings: 0, longestGapSeconds: 0.02, reasons: [], trust: 'good', wildPerMinute: 0,
};

describe('the check of the detector in one line', () => {
  it('says what a good detector can tell', () => {
    expect(detectorCheckWords(good)).toBe('Detector check: good. 50 readings a second, noise 4.1, a flash from 31 up is told.');
  });

  it('keeps two digits in any unit and never shows a thousand as a power', () => {
    expect(detectorCheckWords({ ...good, readingsPerSecond: 498, noise: 0.000413, leastFlash: 3091 })).toBe(
      'Detector check: good. 500 readings a second, noise 0.00041, a flash from 3100 up is told.');
  });

  it.each(['limited', 'none'] as const)('says why it is %s, and what to do', (trust) => {
    const text = '10 readings a second are too few. Send 50 readings a second or more.';
    const words = detectorCheckWords({ ...good, readingsPerSecond: 10, trust, reasons: [{ code: 'readings-too-slow', trust, text }] });
    expect(words).toBe(`Detector check: ${trust}. 10 readings a second, noise 4.1, a flash from 31 up is told. ${text}`);
  });

  it('leaves out what readings that come too rarely cannot tell', () => {
    expect(detectorCheckWords({ ...good, readingsPerSecond: 0.3, noise: null, leastFlash: null, trust: 'none' })).toBe('Detector check: none. 0.3 readings a second.');
  });
});
