import { describe, expect, it } from "vitest";
import { marksFor, yearsOf } from "./marks";
import type { Denomination } from "./types";

const nickel: Denomination = {
  country: "US",
  id: "nickel",
  name: "nickel",
  short: "5¢",
  current: true,
  diameter_mm: null,
  edge: "",
  spans: [
    { first: 1938, last: 1942, marks: ["D", "-", "S"] },
    { first: 1942, last: 1945, marks: ["P", "D", "S"] },
    { first: 1946, last: 1964, marks: [] },
  ],
};

describe("marksFor", () => {
  it("offers the marks of the year, no mark first", () => {
    expect(marksFor(nickel, 1940)).toEqual(["-", "D", "S"]);
    expect(marksFor(nickel, 1944)).toEqual(["D", "P", "S"]);
  });

  it("joins what was struck in one year", () => {
    expect(marksFor(nickel, 1942)).toEqual(["-", "D", "P", "S"]);
  });

  it("offers all without a year, and for a year that isn't in the book", () => {
    expect(marksFor(nickel, 0)).toEqual(["-", "D", "P", "S"]);
    expect(marksFor(nickel, 1900)).toEqual(["-", "D", "P", "S"]);
  });
});

it("yearsOf spans the book", () => {
  expect(yearsOf(nickel)).toEqual({ first: 1938, last: 1964 });
  expect(yearsOf({ ...nickel, spans: [] })).toBeNull();
});
