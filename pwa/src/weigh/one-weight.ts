/** Decimals that a step of d grams shows: 2 for 0.01. At most 4. */
export function decimalsOf(resolution: number): number {
  for (let n = 0; n < 4; n++) {
    const scaled = resolution * 10 ** n;
    if (Math.abs(scaled - Math.round(scaled)) < 1e-6) return n;
  }
  return 4;
}

/**
 * The one number a coin shows: its estimated mass in grams, corrected for the
 * pan's zero, as fine as the scale reads. The scale's own display may differ
 * from it and stands beside it.
 */
export const coinGrams = (mean: number, resolution: number): string => mean.toFixed(decimalsOf(resolution));
