import { describe, expect, it } from "vitest";
import { lackOf, press, type Step } from "./digits";

const type = (keys: string, step: Step = "") => [...keys].reduce((typed, k) => press(typed, k, step), "");

describe("typed digits", () => {
  it.each<[string, Step, string]>([
    ["3.11", "", "3.11"],
    ["3.110", "", "3.110"],
    [".5", "", "0.5"],
    ["007", "", "7"],
    ["0.07", "", "0.07"],
    ["3..1.1", "", "3.11"],
    ["12345", "", "123"],
    ["3.110", "0.01", "3.11"],
    ["3.12345", "", "3.1234"],
    ["3x1e", "", "31"],
  ])("%s with step “%s” reads %s", (keys, step, want) => {
    expect(type(keys, step)).toBe(want);
  });

  it.each<[string, Step, string]>([
    ["", "", "nothing-typed"],
    ["3", "", "complete"],
    ["3.", "", "more"],
    ["3.1", "", "complete"],
    ["0.00", "", "zero"],
    ["3", "0.01", "more"],
    ["3.1", "0.01", "more"],
    ["3.10", "0.01", "complete"],
    ["3.11", "0.05", "between"],
    ["3.15", "0.05", "complete"],
    ["3.113", "0.002", "between"],
    ["3.114", "0.002", "complete"],
    ["0.00", "0.01", "zero"],
  ])("“%s” with step “%s” is %s", (typed, step, want) => {
    expect(lackOf(typed, step).is).toBe(want);
  });

  it("says how many digits are missing", () => {
    expect(lackOf("3", "0.001")).toEqual({ is: "more", decimals: 3 });
    expect(lackOf("3.", "")).toEqual({ is: "more", decimals: 1 });
  });
});
