import { type Length, type Mark, readLength } from "../../bench/work";
import { fields } from "../../core/json";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { meanText, uncertaintyText } from "../weigh/figures";

const signs = { mm: "\u00a0mm", deg: "°", mm2: "\u00a0mm²" } as const;

/** A number with a true minus sign before it. */
export const signed = (number: string): string => number.replace("-", "−");

/** An angle to a degree, and never minus nothing. */
export const wholeDegrees = (degrees: number): string => signed(String(Math.round(degrees) || 0));

/** While it is worked out. */
export const waiting = "…";

/** “1.23 ± 0.05 mm”: twice the standard uncertainty, as everywhere on the glass. */
export function saysWords({ value, u, unit, share }: Length): string {
  const words = figure(`${meanText(value, 2 * u)} ±\u00a0${uncertaintyText(2 * u)}${signs[unit]}`);
  return share === undefined ? words : `${words}, ${text.bench.ruler.share((100 * share).toFixed(1))}`;
}

/** “Length 2”: the second of its kind. */
export function nameOf(marks: readonly Mark[], mark: Mark): string {
  const alike = marks.filter((m) => m.is === mark.is);
  return text.bench.ruler.name(text.bench.ruler.begin[mark.is], alike.findIndex((m) => m.id === mark.id) + 1);
}

/** What was measured, as a find or its evidence keeps it. */
export function measuredWords(x: unknown): string {
  const length = readLength(x);
  if (!length) return "";
  const words = saysWords(length);
  return fields(x).is === "between" ? text.sides.keptAs(words) : words;
}

/** A ruler's answer to a question, as evidence holds it; empty for any other. */
export function ruledWords(evidence: string): string {
  if (!evidence.startsWith("{")) return "";
  try {
    const { mm, u } = JSON.parse(evidence);
    return measuredWords({ value: mm, u, unit: "mm" });
  } catch {
    return "";
  }
}
