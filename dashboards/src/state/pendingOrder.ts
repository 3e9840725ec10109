import type { NextRun } from '../contract';

/** What the start form is to be filled with next: offered by a closed scouting run, taken by the form of the same tester. */
export interface PendingOrder {
  readonly next: NextRun;
  readonly specimen: string;
}

const waiting = new Map<string, PendingOrder>();
const listeners = new Map<string, () => void>();

/** Offers an order to the start form of a tester, wherever that is shown next. */
export function offerOrder(testerId: string, order: PendingOrder): void {
  waiting.set(testerId, order);
  listeners.get(testerId)?.();
}

/** Takes the order that waits for a tester's form; null where none does. */
export function takeOrder(testerId: string): PendingOrder | null {
  const order = waiting.get(testerId) ?? null;
  waiting.delete(testerId);
  return order;
}

/** Calls back when an order is offered to a tester's form. One form a tester; a later one takes the place of the earlier. */
export function onOrder(testerId: string, listener: () => void): void {
  listeners.set(testerId, listener);
}
