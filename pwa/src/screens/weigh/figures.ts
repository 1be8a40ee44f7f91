import { decimalsOf } from "../../weigh/one-weight";

/** Numbers as they stand on the glass. */

/** A mass with the decimals its source gives it: at least 2, at most 3, no idle zeros. */
export function massText(g: number): string {
  const three = g.toFixed(3);
  return three.endsWith("0") ? three.slice(0, -1) : three;
}

/** A step of the scale as it is: “0.01”, “0.1”, “1”. */
export function stepText(resolution: number): string {
  return resolution.toFixed(decimalsOf(resolution));
}

/**
 * An uncertainty with two significant figures at most (JCGM 100:2008, 7.2.6),
 * never fewer than would show it as zero.
 */
export function uncertaintyText(u: number): string {
  if (!(u > 0)) return "0";
  const place = Math.floor(Math.log10(u)); // of the first figure
  return u.toFixed(Math.max(0, Math.min(6, 1 - place)));
}

/** A mean with as many decimals as its uncertainty has, no more than the scale could ever carry. */
export function meanText(mean: number, u: number): string {
  const decimals = uncertaintyText(u).split(".")[1]?.length ?? 0;
  return mean.toFixed(Math.min(4, decimals));
}
