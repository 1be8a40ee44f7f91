import type { Denomination } from "./types";

/**
 * The mint marks to offer for a coin, “-” for none: those of its year, or of
 * every year while the year isn't known (0) or not in the book.
 */
export function marksFor(d: Denomination, year: number): string[] {
  const ofYear = d.spans.filter((s) => s.first <= year && year <= s.last);
  const spans = ofYear.length > 0 ? ofYear : d.spans;
  const marks = new Set(spans.flatMap((s) => s.marks));
  return [...marks].sort((a, b) => Number(b === "-") - Number(a === "-") || a.localeCompare(b));
}

/** First and last year in the book, null if it has none. */
export function yearsOf(d: Denomination): { first: number; last: number } | null {
  if (d.spans.length === 0) return null;
  return {
    first: Math.min(...d.spans.map((s) => s.first)),
    last: Math.max(...d.spans.map((s) => s.last)),
  };
}
