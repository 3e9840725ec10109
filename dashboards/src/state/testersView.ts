import type { TesterOverview } from '../contract';

/** What the page knows of all testers and of its own line to the service. Times are on the browser's clock, ms. */
export interface TestersView {
  readonly testers: readonly TesterOverview[];
  /** When the newest overview arrived; null before the first. */
  readonly receivedAt: number | null;
  readonly link: 'opening' | 'up' | 'lost';
}

export type TestersMessage =
  | { readonly kind: 'overview'; readonly testers: readonly TesterOverview[]; readonly at: number }
  | { readonly kind: 'link'; readonly link: 'up' | 'lost' };

/** How far a tester's readings can be believed. Each looks different on the page. */
export type Condition = 'live' | 'stale' | 'no-data' | 'connecting' | 'source-down' | 'no-news';

/** Without an overview for this long the page says so, ms. The service sends several a second. */
export const silenceMilliseconds = 5000;

/** A reading older than this is shown as old, s. Display only: the alarm is the service's. */
export const staleSeconds = 5;

export const noTesters: TestersView = { testers: [], receivedAt: null, link: 'opening' };

export function reduceTesters(view: TestersView, message: TestersMessage): TestersView {
  switch (message.kind) {
    case 'overview':
      return { testers: message.testers, receivedAt: message.at, link: 'up' };
    case 'link':
      return view.link === message.link ? view : { ...view, link: message.link };
  }
}

/** Seconds since the tester's newest reading, counted on while no overview comes; null before the first reading. */
export function ageSeconds(tester: TesterOverview, view: TestersView, now: number): number | null {
  if (tester.secondsSinceReading === null) return null;
  const since = view.receivedAt === null ? 0 : Math.max(0, now - view.receivedAt) / 1000;
  return tester.secondsSinceReading + since;
}

export function conditionOf(tester: TesterOverview, age: number | null): Condition {
  if (tester.connection === 'down') return 'source-down';
  if (tester.connection === 'connecting') return 'connecting';
  if (age === null) return 'no-data';
  const alarmed = tester.alarms.some((alarm) => alarm.code === 'stream-stale');
  return alarmed || age > staleSeconds ? 'stale' : 'live';
}

/** A tester's condition and the age of its newest reading at this moment; without news from the service nothing is claimed. */
export function stateOf(tester: TesterOverview, view: TestersView, now: number): { readonly condition: Condition; readonly age: number | null } {
  const age = ageSeconds(tester, view, now);
  return { condition: silentSeconds(view, now) === null ? conditionOf(tester, age) : 'no-news', age };
}

/** Seconds the page has been without news from the service; null while news keep coming. */
export function silentSeconds(view: TestersView, now: number): number | null {
  if (view.receivedAt === null) return null;
  const silent = now - view.receivedAt;
  return view.link === 'lost' || silent > silenceMilliseconds ? silent / 1000 : null;
}
