import type { CurveStretch, RunOutput, RunSummary, RunUpdate, TesterOverview } from '../src/contract';
import overviewJson from './fixtures/overview.json';
import updateJson from './fixtures/run-update.json';

/** The fixtures as the service sends them. The compiler cannot narrow words in JSON, so the contract is stated here once. */
export const overviewFixture = overviewJson as unknown as readonly TesterOverview[];
export const updateFixture = updateJson as unknown as RunUpdate;

export function summaryOf(id: string, more: Partial<RunSummary> = {}): RunSummary {
  return { ...updateFixture.summary, id, closedAt: null, ...more };
}

/** Points numbered from `from`, so that a hole or a duplicate shows in the values. */
export function stretch(from: number, length: number): CurveStretch {
  const index = Array.from({ length }, (_, i) => from + i);
  return {
    from,
    time: index.map((i) => i / 5),
    temperature: index.map((i) => 60 + i),
    detectorLow: index.map((i) => i),
    detectorHigh: index.map((i) => i + 0.5),
    flame: index.map((i) => i % 2 === 1),
    secondDetectorLow: null,
    secondDetectorHigh: null,
  };
}

export function events(from: number, length: number): readonly RunOutput[] {
  return Array.from({ length }, (_, i) => ({ kind: 'alarm-cleared', atSeconds: from + i, code: `code-${from + i}` }) as const);
}

export function update(id: string, points: [number, number], facts: [number, number] = [0, 0], more: Partial<RunSummary> = {}): RunUpdate {
  return { curve: stretch(...points), eventsFrom: facts[0], events: events(...facts), status: null, summary: summaryOf(id, more) };
}
