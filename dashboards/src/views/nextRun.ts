import type { NextRun } from '../contract';
import { el } from '../dom';
import { band, fixed } from '../format';
import { offerOrder } from '../state/pendingOrder';
import type { RunView } from '../state/runView';

/** What a closed scouting run says about the next one, and a button that fills the start form with it; null for any other run. */
export function nextRun(view: RunView): HTMLElement | null {
  const { summary } = view;
  const next = summary?.result?.next ?? null;
  if (summary === null || next === null) return null;
  const fill = (): void => {
    offerOrder(summary.testerId, { next, specimen: summary.specimen });
    location.hash = `#/tester/${encodeURIComponent(summary.testerId)}`;
  };
  return el(
    'div',
    { class: 'next-run', 'data-testid': 'next-run' },
    el('h3', {}, 'Next: the proper run'),
    el('p', {}, nextWords(next)),
    el('button', { type: 'button', 'data-testid': 'fill-next', onclick: fill }, 'Fill the start form'),
  );
}

/** The next run in one sentence. */
export function nextWords(next: NextRun): string {
  const variant = next.variant === null ? '' : ` These are the figures of the method for expected flash points ${next.variant}.`;
  return (
    `Take a fresh test portion at or below ${fixed(next.startAtMostCelsius, 0)} °C and expect ${fixed(next.expectedFlashCelsius, 0)} °C: first application at ` +
    `${fixed(next.firstApplicationCelsius, 0)} °C, then every ${fixed(next.intervalCelsius, 1)} °C at ${band(next.heatingCelsiusPerMinute)}.${variant}`
  );
}
