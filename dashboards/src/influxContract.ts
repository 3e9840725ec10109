import type { StandingAlarm } from './contract';

/** How handing the archive on to InfluxDB goes, as in docs/api.md. */
export interface InfluxOverview {
  readonly target: string;
  readonly state: 'current' | 'sending' | 'waiting' | 'refused';
  /** What stands in the way, and what to do; null where nothing does. */
  readonly text: string | null;
  readonly nextTryAt: string | null;
  readonly lagRuns: number;
  readonly lagRows: number;
  readonly lagSeconds: number;
  readonly lagAlarmSeconds: number;
  readonly takenAt: string | null;
  readonly lines: number;
  readonly requests: number;
  readonly setAside: number;
  readonly warnings: readonly string[];
  readonly alarms: readonly StandingAlarm[];
}

/** Where the archive is handed on to; null where it is not. */
export interface InfluxStatus {
  readonly endpoint: InfluxOverview | null;
}
