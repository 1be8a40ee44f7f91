import type { Issue } from "../../core/coins";
import { yearsWords } from "./coin-words";

/**
 * A denomination’s issues to choose from, those that rolls hold first: struck for
 * circulation before made for collectors, and of each the newest before the oldest.
 */
export function rollIssues(coins: readonly Issue[], denomination: string): { id: string; words: string }[] {
  const newest = (c: Issue) => Math.max(0, ...c.spans.map((s) => s.last));
  const oldest = (c: Issue) => Math.min(9999, ...c.spans.map((s) => s.first));
  return coins
    .filter((c) => c.denomination === denomination)
    .sort(
      (a, b) =>
        Number(b.circulating) - Number(a.circulating) || newest(b) - newest(a) || oldest(b) - oldest(a),
    )
    .map((c) => ({ id: c.id, words: `${c.name}, ${yearsWords(c)}` }));
}
