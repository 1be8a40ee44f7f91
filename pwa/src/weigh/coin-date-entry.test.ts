import { signal } from "@preact/signals";
import { beforeEach, describe, expect, it } from "vitest";
import type { Denomination, YearSpan } from "../core/types";
import { type LocalStorage, memoryStorage } from "../device/local-storage";
import { CoinDate } from "./coin-date";
import { DateEntry, runsOf, yearsIn } from "./coin-date-entry";
import { LastDates } from "./coin-date-last";

const denomination = (spans: YearSpan[]): Denomination => ({
  country: "US",
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

let storage: LocalStorage;
let date: CoinDate;
let entry: DateEntry;
const picked = () => `${date.year.value}/${date.mint.value}`;
const type = (keys: string) => [...keys].map((k) => entry.key(k));
beforeEach(() => {
  storage = memoryStorage();
  date = new CoinDate();
  entry = new DateEntry(date, signal(quarter), () => "US/quarter", new LastDates(storage));
  entry.begin();
});

describe("what there is to pick", () => {
  it("is only what was struck", () => {
    expect(runsOf(quarter)).toEqual([1870, 1965, 1970, 1975, 1980]);
    expect(yearsIn(quarter, 1975)).toEqual(["1976", "1977", "1978", "1979"]);
    expect(yearsIn(quarter, 1870)).toEqual(["1873", "1874"]);
  });
});

describe("by tapping", () => {
  it("takes five years, then the date with its mint, and closes", () => {
    entry.pickRun(1975);
    expect([entry.stage.value, entry.marksOf("1976")]).toEqual(["date", ["-", "D", "P", "S"]]);
    entry.pick("1976", "D");
    expect([picked(), entry.open.value]).toEqual(["1976/D", false]);
  });

  it("takes a date whose mint can't be read, and forgets the coin before's mint", () => {
    date.setMint("S");
    entry.pickRun(1975);
    entry.pick("1976", "");
    expect([picked(), entry.open.value]).toEqual(["1976/", false]);
  });

  it("goes back to the years", () => {
    entry.pickRun(1975);
    entry.back();
    expect(entry.stage.value).toBe("run");
    type("1976");
    entry.back();
    expect([entry.stage.value, entry.figures.value]).toEqual(["run", ""]);
  });

  it("any date is one tap", () => {
    date.setYear("1976");
    entry.any();
    expect([picked(), entry.open.value]).toEqual(["/", false]);
  });

  it("gives the last date of the denomination again, also after a new start", () => {
    entry.pick("1976", "S");
    date.clear();
    const later = new DateEntry(date, signal(quarter), () => "US/quarter", new LastDates(storage));
    later.again();
    expect(picked()).toBe("1976/S");
    const other = new DateEntry(date, signal(quarter), () => "US/dime", new LastDates(storage));
    expect(other.last.value).toBeNull();
  });

  it("passes over what was kept by something else", () => {
    storage.setItem("panside.dates", '{"US/quarter":{"year":"19","mint":3},"US/dime":7}');
    expect(new LastDates(storage).of("US/quarter")).toBeNull();
  });
});

describe("by keyboard", () => {
  it("figures are the year, letters the mint", () => {
    type("1976d");
    expect([picked(), entry.open.value]).toEqual(["1976/D", false]);
  });

  it("asks for no mint where only one struck that year", () => {
    type("1966");
    expect([picked(), entry.open.value]).toEqual(["1966/-", false]);
  });

  it("keeps the year while the mint isn't said", () => {
    type("1976");
    entry.close();
    expect(picked()).toBe("1976/");
  });

  it("a figure goes on from tapped years", () => {
    entry.pickRun(1975);
    type("8-");
    expect(picked()).toBe("1978/-");
  });

  it("tells C of CC only when both were struck", () => {
    type("1873c");
    expect(picked()).toBe("1873/CC");
    const gold = denomination([{ first: 1870, last: 1879, marks: ["-", "C", "CC"] }]);
    entry = new DateEntry(date, signal(gold), () => "US/half-eagle", new LastDates(storage));
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
