/** The languages there are: which one a device gets, and how a place writes it. */

export const languages = ["en", "es"] as const;
export type Language = (typeof languages)[number];

/** Each in its own words, so that who can't read the others finds it. */
export const languageNames: Record<Language, string> = { en: "English", es: "Español" };

const isLanguage = (tag: string): tag is Language => (languages as readonly string[]).includes(tag);

const baseOf = (tag: string): string => tag.split(/[-_]/)[0]?.toLowerCase() ?? "";

/** The first of the wanted languages (“es-MX”, “en”) that there is; English otherwise. */
export function pickLanguage(wanted: readonly string[]): Language {
  return wanted.map(baseOf).find(isLanguage) ?? "en";
}

/**
 * The language with its place (“es-MX”), which says how numbers and dates are
 * written: the place of a wanted tag of that language, or else of any. Sentences
 * of the core and the book write English with a point, so a place where English
 * has a comma isn't taken.
 */
export function localeOf(language: Language, wanted: readonly string[]): string {
  const own = wanted.filter((tag) => baseOf(tag) === language);
  const place = [...own, ...wanted].map(placeOf).find(Boolean);
  const locale = place ? `${language}-${place}` : language;
  return language === "en" && decimalSign(locale) !== "." ? language : locale;
}

function placeOf(tag: string): string | undefined {
  try {
    return new Intl.Locale(tag).region;
  } catch {
    return undefined; // some browsers name odd ones
  }
}

const signs = new Map<string, string>();

/** The sign before a number's decimals: “.” or “,”. */
export function decimalSign(locale: string): string {
  let sign = signs.get(locale);
  if (sign === undefined) {
    const parts = new Intl.NumberFormat(locale).formatToParts(1.5);
    sign = parts.find((p) => p.type === "decimal")?.value ?? ".";
    signs.set(locale, sign);
  }
  return sign;
}
