/** Which part of the run the chart shows. */
export type TimeWindow =
  | { readonly kind: 'whole' }
  | { readonly kind: 'newest'; readonly seconds: number }
  | { readonly kind: 'fixed'; readonly from: number; readonly to: number };

/** The shortest stretch of time worth drawing, s. */
const shortest = 2;

/** Ends of the time axis, s. A run that has just begun gets a minute of room to grow into. */
export function visibleTime(shown: TimeWindow, first: number, newest: number): { readonly from: number; readonly to: number } {
  switch (shown.kind) {
    case 'whole':
      return { from: first, to: Math.max(newest + (newest - first) * 0.015, first + 60) };
    case 'newest':
      return { from: newest - shown.seconds, to: newest + shown.seconds * 0.03 };
    case 'fixed':
      return { from: shown.from, to: Math.max(shown.to, shown.from + shortest) };
  }
}

/** Ends of a value axis: the values with room around them, never narrower than `narrowest`. */
export function visibleValues(
  lowest: number | null,
  highest: number | null,
  narrowest: number,
  room: { readonly below: number; readonly above: number },
): [number, number] {
  if (lowest === null || highest === null) return [0, narrowest];
  const span = Math.max(highest - lowest, narrowest);
  const middle = (highest + lowest) / 2;
  return [middle - span / 2 - span * room.below, middle + span / 2 + span * room.above];
}
