import { beforeEach, describe, expect, it } from "vitest";
import type { Placement } from "../live/wire";
import { CoinDate } from "./coin-date";

const coin = (n: number) => n as Placement;
let date: CoinDate;
beforeEach(() => {
  date = new CoinDate();
});

describe("CoinDate", () => {
  it("holds for the coin it was typed for, and goes with the next", () => {
    date.load(coin(1));
    date.setYear("1982");
    date.setMint("D");
    date.load(coin(1));
    date.load(null);
    expect(date.askYear).toBe(1982);
    date.load(coin(2));
    expect([date.askYear, date.mint.value]).toEqual([0, ""]);
  });

  it("typed on an empty pan holds for the coin that comes", () => {
    date.load(coin(1));
    date.load(null);
    date.setYear("1943");
    date.load(coin(2));
    expect(date.askYear).toBe(1943);
    date.load(coin(3));
    expect(date.askYear).toBe(0);
  });

  it("holds for every coin if the person says so", () => {
    date.setYear("1964");
    date.everyCoin.value = true;
    for (const n of [1, 2, 3]) date.load(coin(n));
    expect(date.askYear).toBe(1964);
  });

  it("asks only with a whole year, of figures only", () => {
    date.setYear("19a8");
    expect([date.year.value, date.askYear]).toEqual(["198", 0]);
    date.setYear("19821");
    expect([date.year.value, date.askYear]).toEqual(["1982", 1982]);
  });
});
