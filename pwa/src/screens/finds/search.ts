import type { Find } from "../../core/journal";
import { text } from "../../text";
import { coinWords, kindName, type Names, titleWords, weightWords, wordFor } from "./words";

export const sorts = ["newest", "oldest", "coin", "weight"] as const;
export type Sort = (typeof sorts)[number];

/** Finds in which every word occurs somewhere, in the order wanted. The list comes newest first. */
export function arrange(finds: Find[], search: string, sort: Sort, names: Names): Find[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const fit = words.length === 0 ? [...finds] : finds.filter((f) => fits(f, words, names));
  switch (sort) {
    case "newest":
      return fit;
    case "oldest":
      return fit.reverse();
    case "weight":
      return fit.sort((a, b) => (a.weight?.mean_g ?? 0) - (b.weight?.mean_g ?? 0));
    case "coin":
      return fit.sort((a, b) => keyOf(a).localeCompare(keyOf(b)));
  }
}

const keyOf = ({ coin: c }: Find): string =>
  // A coin that nobody has named comes last.
  c ? [c.country, c.denomination, c.year ?? 0, c.mint ?? ""].join("/") : "zzz";

function fits(f: Find, words: string[], names: Names): boolean {
  const all = [
    coinWords(f.coin, names.countries),
    f.coin?.mint ?? "",
    titleWords(f, names.countries).title.replaceAll("\u00a0", " "),
    f.coin?.country ?? "",
    weightWords(f),
    kindName(names.key, f.kind),
    wordFor(text.finds.fates, f.fate),
    wordFor(text.finds.certainties, f.certainty),
    f.lies?.label ?? "",
    f.lies?.where ?? "",
    wordFor(text.finds.lyings, f.lies?.in),
    f.note ?? "",
    f.hunt ? (names.hunt?.(f.hunt) ?? "") : "",
  ]
    .join(" ")
    .toLowerCase();
  return words.every((w) => all.includes(w));
}
