import type { CurveStretch, RunAudit, RunDetail, RunOutput, RunPlan, RunStatement, RunStatus, RunSummary, RunUpdate } from '../contract';

/** The whole curve held so far, in columns of equal length. */
export interface Curve {
  readonly time: readonly number[];
  readonly temperature: readonly (number | null)[];
  readonly detectorLow: readonly (number | null)[];
  readonly detectorHigh: readonly (number | null)[];
  readonly flame: readonly boolean[];
  /** As long as the others, whether or not there is a second detector. */
  readonly secondLow: readonly (number | null)[];
  readonly secondHigh: readonly (number | null)[];
  /** Whether any point has a value of a second detector. */
  readonly hasSecond: boolean;
}

/** Everything the page holds about one run. Replaced by `reduceRun`, never changed in place. */
export interface RunView {
  readonly runId: string;
  readonly plan: RunPlan | null;
  /** The plan's thermometer chain in words; empty until the plan is here. */
  readonly thermometerSteps: readonly string[];
  /** What the closed run may state; null while it is open, where it has no result, and until the detail of the closed run is here. */
  readonly statement: RunStatement | null;
  /** What was added to the run after it had ended; null until the detail is here. */
  readonly audit: RunAudit | null;
  /** Size of what the wire said, bytes; null where it was not kept, and until the detail is here. */
  readonly wireBytes: number | null;
  /** True once the detail was read of a run that was over: nothing in it will change. */
  readonly detailIsFinal: boolean;
  readonly summary: RunSummary | null;
  readonly status: RunStatus | null;
  readonly curve: Curve;
  readonly events: readonly RunOutput[];
  /** True when what came does not join what is held: the stream must be asked again from the counts held. */
  readonly mustAskAgain: boolean;
  /** True until the stream has sent something: what is not here yet may still be at the service. */
  readonly loading: boolean;
  /** Why the run cannot be shown, in words; null when it can. */
  readonly trouble: string | null;
}

export type RunMessage =
  | { readonly kind: 'opened'; readonly runId: string }
  | { readonly kind: 'detail'; readonly detail: RunDetail }
  | { readonly kind: 'asked'; readonly runId: string }
  | { readonly kind: 'update'; readonly update: RunUpdate }
  | { readonly kind: 'failed'; readonly runId: string; readonly text: string };

export const emptyCurve: Curve = { time: [], temperature: [], detectorLow: [], detectorHigh: [], flame: [], secondLow: [], secondHigh: [], hasSecond: false };

/** A run of which nothing is known yet. */
export function openRun(runId: string): RunView {
  return {
    runId,
    plan: null,
    thermometerSteps: [],
    statement: null,
    audit: null,
    wireBytes: null,
    detailIsFinal: false,
    summary: null,
    status: null,
    curve: emptyCurve,
    events: [],
    mustAskAgain: false,
    loading: true,
    trouble: null,
  };
}

/** The view after one message. Messages about another run leave it as it is. */
export function reduceRun(view: RunView, message: RunMessage): RunView {
  switch (message.kind) {
    case 'opened':
      return message.runId === view.runId ? view : openRun(message.runId);
    case 'detail':
      return message.detail.summary.id === view.runId ? withDetail(view, message.detail) : view;
    case 'asked':
      return message.runId === view.runId && view.mustAskAgain ? { ...view, mustAskAgain: false } : view;
    case 'update':
      return message.update.summary.id === view.runId ? withUpdate(view, message.update) : view;
    case 'failed':
      return message.runId === view.runId ? { ...view, trouble: message.text } : view;
  }
}

/** True once the service has stated that nothing more will be added to the run. */
export function isOver(view: RunView): boolean {
  return view.summary !== null && hasEnded(view.summary);
}

/** True while the detail is to be asked for: at the opening, and once more when the run is over, for what it may state. */
export function needsDetail(view: RunView): boolean {
  return view.plan === null || (isOver(view) && !view.detailIsFinal);
}

function hasEnded(summary: RunSummary): boolean {
  return summary.closedAt !== null || summary.interrupted;
}

function withDetail(view: RunView, detail: RunDetail): RunView {
  return {
    ...view,
    plan: detail.plan,
    thermometerSteps: detail.thermometerSteps,
    statement: detail.statement,
    audit: detail.audit,
    wireBytes: detail.wireBytes,
    detailIsFinal: hasEnded(detail.summary),
    summary: view.summary ?? detail.summary,
    trouble: null,
  };
}

function withUpdate(view: RunView, update: RunUpdate): RunView {
  // A service that was restarted knows only what its archive holds, which may end before what we were shown.
  const restarted = view.summary !== null && ((update.summary.interrupted && !view.summary.interrupted) || update.summary.resumed !== view.summary.resumed);
  const base = restarted ? { ...openRun(view.runId), plan: view.plan, thermometerSteps: view.thermometerSteps } : view;
  const curve = joinCurve(base.curve, update.curve);
  const events = joinList(base.events, update.eventsFrom, update.events);
  return {
    ...base,
    curve: curve ?? base.curve,
    events: events ?? base.events,
    status: update.status,
    summary: update.summary,
    mustAskAgain: curve === null || events === null,
    loading: false,
    trouble: null,
  };
}

/** Held and stretch as one curve without hole or duplicate; null when there would be a hole between them. */
function joinCurve(held: Curve, stretch: CurveStretch): Curve | null {
  if (stretch.from > held.time.length) return null;
  if (stretch.from + stretch.time.length <= held.time.length) return held;
  const skip = held.time.length - stretch.from;
  const none = (): readonly null[] => Array.from(stretch.time, () => null);
  return {
    time: held.time.concat(stretch.time.slice(skip)),
    temperature: held.temperature.concat(stretch.temperature.slice(skip)),
    detectorLow: held.detectorLow.concat(stretch.detectorLow.slice(skip)),
    detectorHigh: held.detectorHigh.concat(stretch.detectorHigh.slice(skip)),
    flame: held.flame.concat(stretch.flame.slice(skip)),
    secondLow: held.secondLow.concat((stretch.secondDetectorLow ?? none()).slice(skip)),
    secondHigh: held.secondHigh.concat((stretch.secondDetectorHigh ?? none()).slice(skip)),
    hasSecond: held.hasSecond || stretch.secondDetectorLow !== null,
  };
}

function joinList<T>(held: readonly T[], from: number, more: readonly T[]): readonly T[] | null {
  if (from > held.length) return null;
  if (from + more.length <= held.length) return held;
  return held.concat(more.slice(held.length - from));
}
