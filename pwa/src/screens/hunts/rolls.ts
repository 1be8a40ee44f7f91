import type { Hunt } from "../../core/journal";

/** What the next roll is taken to hold: as the roll before, else the coins shared out over the rolls, else 50. */
export function coinsPerRoll(h: Pick<Hunt, "progress" | "rolls" | "coins">): number {
  const last = h.progress.at(-1);
  if (last && last.coins > 0) return last.coins;
  if (h.rolls && h.coins) return Math.round(h.coins / h.rolls);
  return 50;
}

/** The currency of a country's coins, by ISO 4217; the person can write another. */
export function currencyOf(country: string | undefined): string {
  const of: Record<string, string> = { US: "USD", CA: "CAD", GB: "GBP" };
  return of[country ?? ""] ?? (country ? "EUR" : "USD");
}

/** A typed number; null for nothing. What is no number goes to the core as it is, which says so. */
export function wholeNumber(typed: string): number | string | null {
  if (typed === "") return null;
  return /^\d+$/.test(typed) ? Number(typed) : typed;
}
