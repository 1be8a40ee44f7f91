import { en, type Text } from "./en";

/** The languages there are. A new one is a file of type Text and a line here. */
export const languages: Record<string, Text> = { en };

/** The first of the wanted languages (“de-CH”, “en”) that there is; English otherwise. */
export function pickLanguage(wanted: readonly string[]): Text {
  for (const tag of wanted) {
    const found = languages[tag] ?? languages[tag.split("-")[0] ?? ""];
    if (found) return found;
  }
  return en;
}

export const text: Text = pickLanguage(typeof navigator === "undefined" ? [] : navigator.languages);
