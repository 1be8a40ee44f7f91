import { text } from "../text";

/** Writes out what a voice would spell or swallow. */
export function forEar(words: string): string {
  const { grams, percent, range } = text.hands.aloud;
  return words
    .replace(/(\d)[\s\u00a0]g\b/g, `$1 ${grams}`)
    .replace(/(\d)[\s\u00a0]%/g, `$1 ${percent}`)
    .replace(/(\d)–(\d)/g, `$1 ${range} $2`)
    .replace(/[“”«»()]/g, "");
}
