/** Indices of values that stand alone between gaps: a line cannot show them, a dot must. */
export function isolatedIndices(values: ArrayLike<number | null | undefined>, from: number, to: number): number[] {
  const found: number[] = [];
  for (let i = Math.max(0, from); i <= to && i < values.length; i++) {
    if (values[i] != null && values[i - 1] == null && values[i + 1] == null) found.push(i);
  }
  return found;
}
