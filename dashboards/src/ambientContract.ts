// What the service says of the sources that testers share, as in docs/api.md.

import type { ConnectionState, TesterOverview } from './contract';

/** A value of a room that testers share. */
export interface AmbientReading {
  readonly value: number;
  readonly secondsAgo: number;
  /** Too old: it is used nowhere. */
  readonly stale: boolean;
}

/** One source that testers share, at a glance. */
export interface AmbientOverview {
  readonly id: string;
  readonly name: string;
  readonly source: string;
  readonly connection: ConnectionState;
  readonly connectionText: string | null;
  readonly counters: TesterOverview['counters'];
  readonly lastRefusal: string | null;
  readonly staleAfterSeconds: number;
  /** Each null where none has come. */
  readonly pressureKilopascals: AmbientReading | null;
  readonly ambientCelsius: AmbientReading | null;
  readonly airMetresPerSecond: AmbientReading | null;
}

/** The barometer that was asked where nobody gave the station pressure. */
export interface BarometerReading {
  /** Name of its source, for people. */
  readonly source: string;
  readonly kilopascals: number | null;
  readonly ageSeconds: number | null;
  /** Why it was not used; null where it is the run's station pressure. */
  readonly notUsed: string | null;
}
