/** What the detector's check says; the words of its reasons are for people. */
export type DetectorTrust = 'good' | 'limited' | 'none';

export interface DetectorReason {
  readonly code: string;
  readonly trust: DetectorTrust;
  readonly text: string;
}

export interface DetectorCheck {
  readonly readingsPerSecond: number;
  /** Deviation of one reading, in the detector's own unit; null where readings come too rarely to learn it. */
  readonly noise: number | null;
  /** Least height of a flash that is told in 98 of 100 cases, same unit; null where it cannot be told. */
  readonly leastFlash: number | null;
  readonly quietSeconds: number;
  readonly wildReadings: number;
  readonly longestGapSeconds: number;
  readonly reasons: readonly DetectorReason[];
  readonly trust: DetectorTrust;
  readonly wildPerMinute: number;
}
