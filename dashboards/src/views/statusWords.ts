import type { RunStatus, RunSummary } from '../contract';
import { band, celsius, countdown, fixed } from '../format';
import type { RunView } from '../state/runView';
import { phaseWords } from '../words';
import { besideBand } from './rateGauge';

/** The phase of a run in words; a run without a status is closed or interrupted. */
export function phaseOf(status: RunStatus | null, run: RunSummary | null): string {
  if (status !== null) return phaseWords[status.phase];
  if (run === null) return 'No run';
  if (run.interrupted) return 'Interrupted';
  return run.closedAt === null ? 'Waiting for the first reading' : 'Closed';
}

const besideWords = { inside: 'inside', above: '▲ above', below: '▼ below', unknown: '' } as const;

/** Where the rate lies to its band: "▲ above the band 5 to 6 °C/min". */
export function bandLine(status: RunStatus): string {
  if (status.band === null) return 'no band holds now';
  const side = besideBand(status.rateCelsiusPerMinute, status.band);
  return side === 'unknown' ? `band ${band(status.band)}` : `${besideWords[side]} the band ${band(status.band)}`;
}

/** The rate with its standard uncertainty, without unit. */
export function rateFigure(status: RunStatus): string | null {
  if (status.rateCelsiusPerMinute === null) return null;
  const rate = fixed(status.rateCelsiusPerMinute, 2);
  const uncertainty = status.rateUncertaintyCelsiusPerMinute;
  // Rounded to nothing it would claim that the rate is known exactly; an uncertainty is rounded up there.
  return uncertainty === null ? rate : `${rate} ± ${fixed(Math.max(uncertainty, 0.01), 2)}`;
}

/** The phase for a panel of one run, which may still be on its way from the service. */
export function phaseOfView(view: RunView): string {
  return view.loading ? 'Loading' : phaseOf(view.status, view.summary);
}

/** When the next application is due: "216.0 °C in 28 s"; null when none is. */
export function nextApplication(status: RunStatus): string | null {
  if (status.nextApplicationCelsius === null) return null;
  const at = celsius(status.nextApplicationCelsius);
  return status.secondsToNextApplication === null ? at : `${at} in ${countdown(status.secondsToNextApplication)}`;
}
