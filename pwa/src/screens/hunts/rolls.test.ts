import { describe, expect, it } from "vitest";
import { coinsPerRoll, currencyOf, wholeNumber } from "./rolls";

describe("rolls", () => {
  it("take the next roll to be as the one before, else as the whole shared out", () => {
    const progress = [{ roll: 1, coins: 48, done: true }];
    expect(coinsPerRoll({ progress, rolls: 25, coins: 1250 })).toBe(48);
    expect(coinsPerRoll({ progress: [], rolls: 25, coins: 1000 })).toBe(40);
    expect(coinsPerRoll({ progress: [] })).toBe(50);
  });

  it("know the book's currencies by ISO 4217", () => {
    expect(["US", "CA", "GB", "DE", ""].map(currencyOf)).toEqual(["USD", "CAD", "GBP", "EUR", "USD"]);
  });

  it("hand on what is no number, so that it is refused and not taken for nothing", () => {
    expect(["", "0", "1200", "1,200", "-5", "abc"].map(wholeNumber)).toEqual([
      null,
      0,
      1200,
      "1,200",
      "-5",
      "abc",
    ]);
  });
});
