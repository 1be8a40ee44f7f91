import type { Figure, Issue, Limit, Metal } from "../../core/coins";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { massText } from "../weigh/figures";

/** The coin book's figures in words. */

/** First to last year: “1982–2026”, or the one year. */
export function yearsWords(c: Pick<Issue, "spans">): string {
  if (c.spans.length === 0) return "";
  const first = Math.min(...c.spans.map((s) => s.first));
  const last = Math.max(...c.spans.map((s) => s.last));
  return first === last ? String(first) : `${first}–${last}`;
}

/** A mass in grams, with the source's own words behind it where those aren't grams. */
export function massWords(f: Figure): string {
  const grams = text.book.grams(massText(f.value));
  if (!f.text) return grams;
  if (/ g$/.test(f.text)) return figure(f.text).replace(" ", "\u00a0");
  // “gr” is read as grams.
  const grains = / gr$/.test(f.text);
  return text.book.also(grams, grains ? text.book.grains(f.text.slice(0, -3)) : f.text);
}

/** A length in millimetres, with the source's own words where those aren't millimetres. */
export function lengthWords(f: Figure): string {
  if (/ mm$/.test(f.text)) return figure(f.text).replace(" ", "\u00a0");
  const mm = text.book.millimetres(f.value.toFixed(2));
  return f.text ? text.book.also(mm, f.text) : mm;
}

/** The limit as a rule: for each piece, for a batch, or none published. */
export function limitWords(limit: Limit | null): string {
  if (!limit) return text.book.limitNone;
  if (limit.scope === "batch") return text.book.limitBatch(text.book.plusMinus(limit.batch || limit.text));
  return text.book.limitPiece(text.book.plusMinus(massWords(limit)));
}

/** “91.67% copper, 8.33% nickel”, the most first. */
export function metalWords(m: Metal): string {
  const elements: Record<string, string> = text.book.elements;
  return Object.entries(m.fractions)
    .sort((a, b) => b[1] - a[1])
    .map(([element, share]) => text.book.fraction(percentOf(share), elements[element] ?? element))
    .join(", ");
}

/** A share as per cent with no idle zeros: “91.67”, “95”. */
export function percentOf(share: number): string {
  return String(Number((share * 100).toFixed(2)));
}

/** The word for one of the core's; the core's own where there is none yet. */
export function named(texts: Record<string, string>, word: string): string {
  return texts[word] ?? word;
}
