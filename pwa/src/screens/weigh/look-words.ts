import { text } from "../../text";

/** The core's fixed words on what to look for, as the language has them. */

const named = (texts: Record<string, string>, word: string): string => texts[word] ?? word;

export const sideWords = (side: string): string => named(text.inspect.sides, side);
export const rarityWords = (rarity: string): string => named(text.inspect.rarities, rarity);

/** Side and spot; the side only once. */
export function placeOf(l: { side: string; where: string }): string {
  const side = sideWords(l.side);
  if (!l.where || !side || l.where.includes(side)) return l.where || side;
  return `${side}, ${l.where}`;
}

/** The lang of words that a sheet has in English only, among its others; none for what is translated. */
export const langOf = (l: { english: string[] }, ...fields: string[]): "en" | undefined =>
  fields.some((f) => l.english.includes(f)) ? "en" : undefined;
