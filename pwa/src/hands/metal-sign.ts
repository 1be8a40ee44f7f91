/** Below this share of the mass an element doesn't say what a coin looks like. */
const least = 0.07;

/**
 * A metal in a few letters, by the symbols of chemistry: “Cu” for bronze, “Zn”,
 * “CuNi” for clad, “Ag 90”. Of precious metals the share is what matters.
 */
export function metalSign(fractions: Record<string, number>): string {
  for (const precious of ["Au", "Ag", "Pt"]) {
    const share = fractions[precious] ?? 0;
    if (share > 0) return `${precious} ${Math.round(100 * share)}`;
  }
  return Object.entries(fractions)
    .filter(([, share]) => share >= least)
    .sort((a, b) => b[1] - a[1])
    .slice(0, 2)
    .map(([element]) => element)
    .join("");
}
