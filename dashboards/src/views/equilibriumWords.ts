import type { PortionTest, RunStatus } from '../contract';
import { fixed } from '../format';
import { codeWords, outcomeWords } from '../words';

/** What the panel of an equilibrium run says now: the stage, and what to do. */
export interface PortionLine {
  readonly stage: 'set' | 'charge' | 'wait' | 'apply' | 'clean' | 'over';
  readonly text: string;
  readonly detail: string;
}

/** The line for a status; null for a run along a ramp. `driven`: the service keeps the block and applies the flame. */
export function portionLine(status: RunStatus | null, driven = false): PortionLine | null {
  const portions = status?.portions ?? null;
  if (status === null || portions === null) return null;
  const set = `${fixed(portions.setCelsius, 1)} °C`;
  const volume = `${fixed(portions.millilitres, 1)} mL`;
  switch (status.phase) {
    case 'awaiting-portion':
      return { stage: 'charge', text: `Charge portion ${portions.portionNumber}: ${volume}`, detail: `The block keeps ${set}. Charge a fresh test portion, then press Charged at once.` };
    case 'portion-waiting':
      return { stage: 'wait', text: `Wait ${seconds(portions.secondsToApplication)}`, detail: waitDetail(portions.spoiled) };
    case 'applying-test-flame':
      return { stage: 'apply', text: driven ? 'The test flame is applied now' : 'Apply the test flame now, once', detail: driven && portions.spoiled === null ? missedDetail : waitDetail(portions.spoiled) };
    case 'clearing-cup':
      return { stage: 'clean', text: driven ? `Clean the cup; next ${set}` : `Clean the cup; set ${set}`, detail: `${driven ? 'The flame is away: see for yourself. Let' : 'Flame out, let'} the cup cool, empty and clean it. Then portion ${portions.portionNumber} at ${set}.${steadyWords(portions.secondsToSteady)}` };
    case 'cooling':
    case 'closed':
      return { stage: 'over', text: 'The search is over', detail: 'Flame out. Let the cup cool before you empty and clean it.' };
    default:
      return { stage: 'set', text: driven ? `The block is brought to ${set}` : `Set the block to ${set}`, detail: `It has to keep that to within ${fixed(portions.toleranceCelsius, 1)} °C.${steadyWords(portions.secondsToSteady)}` };
  }
}

const missedDetail = 'One application for each portion. Where it does not come within some seconds, the heater was off or the block too warm: empty and clean the cup, charge a fresh portion, and press Charged.';

function waitDetail(spoiled: string | null): string {
  return spoiled === null ? 'One application for each portion.' : `This portion does not count (${codeWords(spoiled).toLowerCase()}): keep the flame away, let the cup cool, clean it and charge a fresh one.`;
}

function steadyWords(left: number | null): string {
  return left === null ? '' : left > 0 ? ` Steady for ${seconds(left)} more.` : '';
}

function seconds(left: number | null): string {
  return `${Math.ceil(left ?? 0)} s`;
}

/** One test as cells: set temperature, as read, what was seen, whether it counts. */
export function testCells(test: PortionTest): readonly string[] {
  return [
    String(test.number),
    `${fixed(test.setCelsius, 1)} °C`,
    test.appliedCelsius === null ? 'not read' : `${fixed(test.appliedCelsius, 1)} °C`,
    outcomeWords[test.outcome],
    test.spoiled === null ? 'counts' : codeWords(test.spoiled).toLowerCase(),
  ];
}
