/** Longest wait between two tries, ms. */
export const longestWait = 15_000;

/** Wait before try number `attempt` (from 0), ms: doubles from half a second, half of it drawn by lot so that pages do not come back in step. */
export function backoff(attempt: number, lot: number): number {
  const whole = Math.min(longestWait, 500 * 2 ** Math.min(attempt, 10));
  return whole / 2 + (whole / 2) * lot;
}
