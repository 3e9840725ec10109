import type { DetectorCheck, DetectorReason } from '../src/contract';
import { list, number, orNull, shape, text, word } from './shape';

const trust = word<DetectorCheck['trust']>({ good: true, limited: true, none: true });

export const detectorCheck = shape<DetectorCheck>({
  readingsPerSecond: number, noise: orNull(number), leastFlash: orNull(number), quietSeconds: number, wildReadings: number, longestGapSeconds: number,
  reasons: list(shape<DetectorReason>({ code: text, trust, text })), trust, wildPerMinute: number,
});
