import type { RunOutput } from '../contract';

/** Which of a run's events hold no more: an observation that was taken back and what followed it up to there, but for the alarms, which did sound, and that the run was taken up again. */
export function fallenIndices(events: readonly RunOutput[]): ReadonlySet<number> {
  const fallen = new Set<number>();
  let observation: number | null = null;
  events.forEach((event, index) => {
    if (event.kind === 'observation-made') observation = index;
    if (event.kind !== 'observation-withdrawn' || observation === null) return;
    for (let one = observation; one < index; one++) {
      const { kind } = events[one]!;
      if (kind !== 'alarm-raised' && kind !== 'alarm-cleared' && kind !== 'run-resumed') fallen.add(one);
    }
    observation = null;
  });
  return fallen;
}

/** The events that hold. */
export function standing(events: readonly RunOutput[]): readonly RunOutput[] {
  const fallen = fallenIndices(events);
  return fallen.size === 0 ? events : events.filter((_, index) => !fallen.has(index));
}
