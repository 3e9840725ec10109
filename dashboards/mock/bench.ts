// An invented cup on an invented heater: just enough physics to look at the page with.

/** Time between two points, s. */
export const step = 0.2;

export const round = (value: number, decimals: number): number => Number(value.toFixed(decimals));

/** Noise between -1 and 1 that is the same every time. */
export function noise(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  };
}

/** A second detector of another kind, in nA: it sees more of the halo, and the flash as well; `level` is what the first one sees. */
export function secondLevel(level: number, sincePass: number, lot: number): number {
  const halo = sincePass < 1 ? 3.1 * Math.sin(Math.PI * sincePass) : 0;
  return 14.2 + 5.5 * (level - 0.412) + halo + 0.15 * lot;
}

/** The rate the heater works towards, °C/min: fast, then eased towards the controlled band. */
export function heatingRate(celsius: number, easeCelsius: number, cooling: boolean): number {
  if (cooling) return -9 - (celsius - 150) * 0.08;
  if (celsius < easeCelsius - 12) return 15.2;
  return 5.45 + Math.max(0, Math.min(9, (easeCelsius - celsius + 14) * 0.3));
}

/** The detector: a halo that grows from pass to pass, a flash that stands out, a burn that stays up. */
export function detectorLevel(passes: number, sincePass: number, flashes: boolean, burning: boolean, lot: number): number {
  let level = 0.412;
  if (sincePass < 1) level += (0.1 + 0.018 * passes) * Math.sin(Math.PI * sincePass);
  if (flashes && sincePass < 1.2) level += 2.3;
  if (burning) level += 2.6 + lot * 0.5;
  return level;
}
