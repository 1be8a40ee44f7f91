import { describe, expect, it } from "vitest";
import type { Issue } from "../../core/coins";
import { rollIssues } from "./roll-issues";

const issue = (name: string, years: string, circulating = true, denomination = "cent") => {
  const [first, last] = years.split("–").map(Number);
  return {
    id: name,
    denomination,
    name,
    circulating,
    spans: [{ first, last: last ?? first }],
  } as unknown as Issue;
};

describe("what a roll may hold", () => {
  it("begins with what is struck today, and ends with collectors' pieces", () => {
    const coins = [
      issue("large", "1793–1857"),
      issue("flying", "1856–1858"),
      issue("bronze", "1864–1982"),
      issue("set", "2009", false),
      issue("zinc", "1982–2026"),
      issue("dime", "1965–2026", true, "dime"),
    ];
    expect(rollIssues(coins, "cent").map((o) => o.words)).toEqual([
      "zinc, 1982–2026",
      "bronze, 1864–1982",
      "flying, 1856–1858",
      "large, 1793–1857",
      "set, 2009",
    ]);
    expect(coins[0]?.id).toBe("large"); // the list itself stays
  });
});
