import { beforeEach, describe, expect, it } from "vitest";
import { memoryStorage } from "../device/local-storage";
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

  it("that is searched stays, coin after coin and over a visit, until it is taken off", () => {
    const storage = memoryStorage();
    date = new CoinDate(storage);
    date.setYear("1909");
    date.setMint("S");
    date.searched.value = true;
    for (const n of [1, 2, 3]) {
      date.load(coin(n));
      date.load(null);
    }
    expect([date.askYear, date.mint.value]).toEqual([1909, "S"]);
    const again = new CoinDate(storage);
    again.load(coin(1));
    again.load(coin(2));
    expect([again.askYear, again.mint.value, again.searched.value]).toEqual([1909, "S", true]);
    again.clear();
    expect([again.askYear, again.searched.value]).toEqual([0, false]);
    expect(new CoinDate(storage).askYear).toBe(0);
  });

  it("asks only with a whole year, of figures only", () => {
    date.setYear("19a8");
    expect([date.year.value, date.askYear]).toEqual(["198", 0]);
    date.setYear("19821");
    expect([date.year.value, date.askYear]).toEqual(["1982", 1982]);
  });
});
