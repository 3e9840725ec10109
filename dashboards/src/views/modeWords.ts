import type { RunMode, TesterOverview } from '../contract';

/** One line for a card; null where there is nothing special to know. */
export const modeLine: Record<RunMode, string | null> = {
  observed: null,
  guided: 'Guided: a person works the cup and records what is seen',
  driven: 'Driven: the service commands heater and test flame',
};

/** What it means for whoever starts a run; null where the method alone says what to do. */
export const modeMeaning: Record<RunMode, { readonly title: string; readonly lines: readonly string[] } | null> = {
  observed: null,
  guided: {
    title: 'This tester is guided: you work the cup by hand',
    lines: [
      'You heat the cup and pass the test flame. The page asks for each application shortly before it is due, with a sound once you have turned it on.',
      'Look at the cup, then record what you saw with one key: 1 nothing, 2 halo, 3 flash, 4 burning, 5 went out.',
      'Nobody else sees a flash here: what is not recorded is missing from the result.',
      'A wrong key can be taken back for 10 seconds, with Backspace. The record keeps both.',
    ],
  },
  driven: {
    title: 'This tester is driven: the service heats the cup and passes the test flame',
    lines: [
      'Starting a run does not heat. Afterwards a person turns the heater on here, by name, and stays at the cup until it is cold.',
      'The heater needs its own over-temperature cut-out, independent of this program. This program is no safety device.',
    ],
  },
};

/** What a guided tester asks of the person just now, for its card; an empty text for nothing. */
export function askedNow(tester: TesterOverview, live: boolean): string {
  const { status } = tester;
  if (tester.mode !== 'guided' || !live || status === null || status.promptNumber === null || status.burningSeconds !== null) return '';
  return `▶ Asks for application ${status.promptNumber} now: open to record it`;
}
