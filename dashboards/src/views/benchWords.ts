import type { AmbientOverview, RunStatus } from '../contract';
import { fixed } from '../format';

/** One thing a tester tells of its bench. */
export interface BenchFact {
  readonly name: string;
  readonly text: string;
}

/** What the tester tells of its bench beside the cup; only what it does tell, and no value of a shared source that is too old to be used. The heater of a driven tester has a panel of its own. */
export function benchFacts(status: RunStatus, isDriven: boolean, ambient: readonly AmbientOverview[] | null = null): readonly BenchFact[] {
  const facts: BenchFact[] = [];
  const stirrer = stirrerWords(status);
  if (stirrer !== null) facts.push({ name: 'Stirrer', text: stirrer });
  if (status.lit !== null) facts.push({ name: 'Test flame', text: status.lit ? 'burns' : '✕ is out' });
  const staleAir = ambient?.some((source) => source.airMetresPerSecond?.stale) ?? false;
  const staleRoom = ambient?.some((source) => source.ambientCelsius?.stale) ?? false;
  if (status.airMetresPerSecond !== null && !staleAir) facts.push({ name: 'Air at the cup', text: `${fixed(status.airMetresPerSecond, 2)} m/s` });
  if (status.ambientCelsius !== null && !staleRoom) facts.push({ name: 'Room', text: `${fixed(status.ambientCelsius, 1)} °C` });
  if (status.heaterFraction !== null && !isDriven) facts.push({ name: 'Heater', text: `${fixed(status.heaterFraction * 100, 0)} %` });
  return facts;
}

function stirrerWords({ stirrerRevolutionsPerMinute: speed, stirring }: RunStatus): string | null {
  if (speed !== null) return stirring === false ? `stands (${fixed(speed, 0)} r/min)` : `${fixed(speed, 0)} r/min`;
  return stirring === null ? null : stirring ? 'turns' : 'stands';
}
