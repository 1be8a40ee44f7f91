import { describe, expect, it } from "vitest";
import { decimalSign, localeOf, pickLanguage } from "./languages";

describe("the language of a device", () => {
  it.each([
    [["es-MX", "en"], "es"],
    [["de-CH", "es", "en"], "es"],
    [["xx", "en-US"], "en"],
    [["ES_us"], "es"],
    [["fr"], "en"],
    [[], "en"],
  ] as const)("%j is %s", (wanted, language) => {
    expect(pickLanguage(wanted)).toBe(language);
  });
});

// The signs are those of the Unicode Common Locale Data Repository, by the ICU of this Node.
describe("the place, which says how numbers are written", () => {
  it.each([
    ["es", ["es-MX"], "es-MX", "."],
    ["es", ["es-US", "es-ES"], "es-US", "."],
    ["es", ["en", "es-AR"], "es-AR", ","],
    ["es", ["es-GT"], "es-GT", "."],
    ["es", ["es-ES"], "es-ES", ","],
    ["es", ["es"], "es", ","],
    ["es", ["en-US"], "es-US", "."], // Spanish picked on a phone set to English
    ["es", ["es", "en-US"], "es-US", "."],
    ["es", [], "es", ","],
    ["en", ["en-GB"], "en-GB", "."],
    ["en", ["de-DE"], "en", "."], // the core's English has points everywhere
    ["en", ["not a tag!"], "en", "."],
  ] as const)("%s on a device set to %j is %s and writes %s", (language, wanted, locale, sign) => {
    expect(localeOf(language, wanted)).toBe(locale);
    expect(decimalSign(locale)).toBe(sign);
  });
});
