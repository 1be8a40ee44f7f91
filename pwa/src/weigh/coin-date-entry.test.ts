import { signal } from "@preact/signals";
import { beforeEach, describe, expect, it } from "vitest";
import type { Denomination, YearSpan } from "../core/types";
import type { Shelf } from "../device/kept";
import { CoinDate } from "./coin-date";
import { DateEntry, decadesOf, yearsIn } from "./coin-date-entry";
import { LastDates } from "./coin-date-last";

const denomination = (spans: YearSpan[]): Denomination => ({
  id: "quarter",
  name: "quarter",
  short: "25¢",
  current: true,
  spans,
  diameter_mm: 24.26,
  edge: "reeded",
});
const quarter = denomination([
  { first: 1873, last: 1874, marks: ["-", "CC", "S"] },
  { first: 1965, last: 1967, marks: ["-"] },
  { first: 1968, last: 1974, marks: ["-", "D", "S"] },
  { first: 1976, last: 1981, marks: ["-", "D", "S", "P"] },
]);

class MemoryShelf implements Shelf {
  kept = new Map<string, string>();
  getItem = (k: string) => this.kept.get(k) ?? null;
  setItem = (k: string, v: string) => void this.kept.set(k, v);
  removeItem = (k: string) => void this.kept.delete(k);
}

let shelf: MemoryShelf;
let date: CoinDate;
let entry: DateEntry;
const picked = () => `${date.year.value}/${date.mint.value}`;
const type = (keys: string) => [...keys].map((k) => entry.key(k));
beforeEach(() => {
  shelf = new MemoryShelf();
  date = new CoinDate();
  entry = new DateEntry(date, signal(quarter), () => "US/quarter", new LastDates(shelf));
  entry.begin();
});

describe("what there is to pick", () => {
  it("is only what was struck", () => {
    expect(decadesOf(quarter)).toEqual(["187", "196", "197", "198"]);
    expect(yearsIn(quarter, "197")).not.toContain("1975");
    expect(yearsIn(quarter, "187")).toEqual(["1873", "1874"]);
  });
});

describe("by tapping", () => {
  it("takes decade, year and mint, then closes", () => {
    entry.pickDecade("197");
    expect(entry.stage.value).toBe("year");
    entry.pickYear("1976");
    expect([entry.stage.value, entry.marks.value]).toEqual(["mint", ["-", "D", "P", "S"]]);
    entry.pickMint("D");
    expect([picked(), entry.open.value]).toEqual(["1976/D", false]);
  });

  it("asks for no mint where only one struck that year", () => {
    entry.pickDecade("196");
    entry.pickYear("1966");
    expect([picked(), entry.open.value]).toEqual(["1966/-", false]);
  });

  it("keeps the year while the mint isn't said, and forgets the coin before's mint", () => {
    date.setMint("S");
    entry.pickYear("1976");
    expect(picked()).toBe("1976/");
    entry.close();
    expect(picked()).toBe("1976/");
  });

  it("goes back a step at a time", () => {
    entry.pickYear("1976");
    entry.back();
    expect([entry.stage.value, entry.figures.value]).toEqual(["year", "197"]);
    entry.back();
    expect(entry.stage.value).toBe("decade");
  });

  it("any date is one tap", () => {
    date.setYear("1976");
    entry.any();
    expect([picked(), entry.open.value]).toEqual(["/", false]);
  });

  it("gives the last date of the denomination again, also after a new start", () => {
    entry.pickYear("1976");
    entry.pickMint("S");
    date.clear();
    const later = new DateEntry(date, signal(quarter), () => "US/quarter", new LastDates(shelf));
    later.again();
    expect(picked()).toBe("1976/S");
    const other = new DateEntry(date, signal(quarter), () => "US/dime", new LastDates(shelf));
    expect(other.last.value).toBeNull();
  });

  it("passes over what was kept by something else", () => {
    shelf.setItem("panside.dates", '{"US/quarter":{"year":"19","mint":3},"US/dime":7}');
    expect(new LastDates(shelf).of("US/quarter")).toBeNull();
  });
});

describe("by keyboard", () => {
  it("figures are the year, letters the mint", () => {
    type("1976d");
    expect([picked(), entry.open.value]).toEqual(["1976/D", false]);
  });

  it("figures go on from a tapped decade", () => {
    entry.pickDecade("197");
    type("8-");
    expect(picked()).toBe("1978/-");
  });

  it("tells C of CC only when both were struck", () => {
    type("1873c");
    expect(picked()).toBe("1873/CC");
    const gold = denomination([{ first: 1870, last: 1879, marks: ["-", "C", "CC"] }]);
    entry = new DateEntry(date, signal(gold), () => "US/half-eagle", new LastDates(shelf));
    entry.begin();
    type("1873c");
    expect(entry.open.value).toBe(true);
    entry.key("Enter");
    expect(picked()).toBe("1873/C");
    entry.begin();
    type("1873cc");
    expect(picked()).toBe("1873/CC");
  });

  it("takes a year that the book doesn't have, and says so", () => {
    type("1975");
    expect([entry.unknownYear.value, entry.stage.value, picked()]).toEqual([true, "mint", "1975/"]);
  });

  it("takes figures and steps back one by one, and leaves on Escape", () => {
    type("19");
    entry.key("Backspace");
    expect(entry.figures.value).toBe("1");
    entry.key("Escape");
    expect(entry.open.value).toBe(false);
  });

  it("lets other keys be", () => {
    expect(type("q")).toEqual([false]);
    type("1976");
    expect(type("?")).toEqual([false]);
    expect(type("z")).toEqual([true]);
    expect(entry.open.value).toBe(true);
  });
});
