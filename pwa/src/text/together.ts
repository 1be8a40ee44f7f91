/** Signs and short names of units that stand behind a figure. */
const units = "%|°C|g/cm³|cm³|mm|µm|kg|mg|g|gr|ozt|oz|dwt|kB|MB|GB|ms|s|min|h";
const broken = new RegExp(`(\\d) (?=(?:${units})(?![\\p{L}\\d]))|(±) (?=\\d)|(\\d) (?=±)`, "gu");

/** Words whose figures stay in one line with their units and with what they are uncertain by. */
export function together(words: string): string {
  return words.replace(broken, "$1$2$3\u00a0");
}
