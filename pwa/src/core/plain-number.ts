/** A number as typed; one decimal comma is as good as a point. */
export const plainNumber = (typed: string): string => typed.trim().replace(/^([+-]?\d*),(\d+)$/, "$1.$2");

/**
 * What a typed number can be if it reads two ways: the sign that isn't the language's own, before
 * three digits, may be a decimal's or a thousand's. Null if it reads one way.
 */
export function twoReadings(typed: string, ownSign: string): { decimal: string; whole: string } | null {
  const other = ownSign === "," ? "." : ",";
  const [before = "", after = "", ...more] = typed.trim().split(other);
  if (more.length > 0 || !/^[+-]?[1-9]\d{0,2}$/.test(before) || !/^\d{3}$/.test(after)) return null;
  return { decimal: before + ownSign + after, whole: before + after };
}
