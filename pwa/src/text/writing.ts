import { signal } from "@preact/signals";
import { decimalSign, type Language } from "./languages";

/** The language and place that is written for now. */
export const locale = signal("en");

/** A number's decimals behind the sign of the language: a core writes them behind a point. */
export const figure = (exact: string): string => withSign(exact, locale.value);

function withSign(exact: string, tag: string): string {
  const sign = decimalSign(tag);
  return sign === "." ? exact : exact.replace(/(\d)\.(?=\d|$)/g, `$1${sign}`);
}

const plurals = new Map<string, Intl.PluralRules>();
const numbers = new Map<string, Intl.NumberFormat>();
const gaps = new Map<string, string>();
const lists = new Map<string, Intl.ListFormat>();
const choices = new Map<string, Intl.ListFormat>();

/** Made once each: they cost more than what they do. */
function made<T>(all: Map<string, T>, tag: string, make: () => T): T {
  let one = all.get(tag);
  if (one === undefined) {
    one = make();
    all.set(tag, one);
  }
  return one;
}

/** How one language counts, joins and writes numbers, in the reader's place if that is told. */
export function writing(language: Language) {
  const tag = () => (locale.value.split("-")[0] === language ? locale.value : language);
  const number = (n: number): string => made(numbers, tag(), () => new Intl.NumberFormat(tag())).format(n);
  /** The words for that many. */
  const plural = (n: number, one: string, other: string): string =>
    made(plurals, tag(), () => new Intl.PluralRules(tag())).select(n) === "one" ? one : other;
  return {
    number,
    plural,
    /** “1 coin”, “3 coins” */
    counted: (n: number, one: string, other: string): string => `${number(n)} ${plural(n, one, other)}`,
    /** “a, b, and c” */
    listed: (parts: readonly string[]): string =>
      made(lists, tag(), () => new Intl.ListFormat(tag(), { type: "conjunction" })).format(parts),
    /** “a, b, or c” */
    either: (parts: readonly string[]): string =>
      made(choices, tag(), () => new Intl.ListFormat(tag(), { type: "disjunction" })).format(parts),
    /** A number's decimals behind the language's sign. */
    figure: (exact: string): string => withSign(exact, tag()),
    /** “95%”, or “95 %” in a language that writes it so, as the core does in every place of it; of a number as it stands, or of a whole one. */
    percent: (of: string | number): string =>
      withSign(String(of), tag()) + made(gaps, language, () => beforePercent(language)),
  };
}

/** The sign with what stands between it and the number. */
function beforePercent(tag: string): string {
  const parts = new Intl.NumberFormat(tag, { style: "percent" }).formatToParts(0.5);
  return parts
    .filter((p) => p.type === "literal" || p.type === "percentSign")
    .map((p) => p.value)
    .join("");
}
