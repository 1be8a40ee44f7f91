import type { Issue } from "../core/coins";
import type { CoinOf } from "../core/journal";

/** How wide a coin is by the coin book. */
export interface Diameter {
  mm: number;
  /** Coins of the denomination differ in it, and the find's year or issue doesn't say which it is. */
  unsure: boolean;
}

/** The diameter of a find's coin: of its issue, else of its year, else of the denomination; null if the book has none. */
export function diameterOf(coin: CoinOf | undefined, issues: readonly Issue[]): Diameter | null {
  if (!coin) return null;
  const own = issues.filter((i) => i.id === coin.issue);
  const year = coin.year ?? 0;
  const dated = issues.filter((i) => year > 0 && i.spans.some((s) => s.first <= year && year <= s.last));
  const those = [own, dated, issues].find((list) => list.some((i) => i.diameter)) ?? [];
  const all = those.flatMap((i) => (i.diameter ? [{ i, mm: i.diameter.value }] : []));
  // The one that is struck still, if the year doesn't say.
  const best = all.find(({ i }) => i.spans.some((s) => s.open)) ?? all.at(-1);
  if (!best) return null;
  return { mm: best.mm, unsure: all.some(({ mm }) => mm !== best.mm) };
}
