import { describe, expect, it } from "vitest";
import { plainNumber } from "../../core/plain-number";
import { readDensityAnswer, readRollAnswer } from "../../core/weighings";
import { addressOf, toolAt } from "../../view/places";
import type { Shown } from "../../weigh/live-verdict";
import { barsOf } from "./bars";
import { densityQuestion, firstEmpty, fitsQuestion, rollQuestion, stepOf, uOf } from "./questions";
import { saidByScale } from "./said";

describe("forms", () => {
  it("read a decimal comma, and leave the rest to the core", () => {
    expect(["26,73", " 26.73 ", "-0,5", "1,234,5", "x"].map(plainNumber)).toEqual([
      "26.73",
      "26.73",
      "-0.5",
      "1,234,5",
      "x",
    ]);
  });

  it("ask for a density with the larger uncertainty of two weighings from the scale", () => {
    const form = { method: "cup", dry_g: "26,73", wet_g: "2.59", water_c: "21", thread_g: "0.1" };
    const plain = { method: "cup", dry_g: "26.73", wet_g: "2.59", water_c: "21" };
    expect(densityQuestion(form, "US")).toEqual(plain);
    const taken = { [uOf("dry_g")]: "0.008", [uOf("wet_g")]: "0.01", [stepOf("dry_g")]: "0.01" };
    expect(densityQuestion({ ...form, ...taken }, "US")).toEqual({
      ...plain,
      u_g: "0.01",
      resolution_g: "0.01",
    });
    // One typed, one taken: the core's own assumption holds for both.
    expect(densityQuestion({ ...form, ...taken, [uOf("wet_g")]: "" }, "US")).not.toHaveProperty("u_g");
    expect(densityQuestion({ method: "hung", thread_g: "0.1", denomination: "dime" }, "US")).toEqual({
      method: "hung",
      thread_g: "0.1",
      country: "US",
      denomination: "dime",
    });
  });

  it("ask for a pile, with the count only if something is looked for", () => {
    const form = { issue: "a", count: "50", total_g: "125.3" };
    expect(rollQuestion(form)).toEqual({ issue: "a", total_g: "125.3" });
    expect(rollQuestion({ ...form, other: "b", wrapper_g: "0,9" })).toEqual({
      issue: "a",
      other: "b",
      count: "50",
      total_g: "125.3",
      wrapper_g: "0.9",
    });
  });

  it("ask which coins fit, with what was looked at alone", () => {
    const form = { value: "10,01", diameter_mm: "28,5", colour: "red", magnetic: "", edge: "", year: "" };
    const evidence = { diameter_mm: "28.5", colour: "red" };
    expect(fitsQuestion(form)).toEqual({ value: "10.01", evidence });
    const taken = { [uOf("value")]: "0.008", [stepOf("value")]: "0.01", year: "1950" };
    expect(fitsQuestion({ ...form, ...taken })).toEqual({
      mean_g: "10.01",
      u_g: "0.008",
      resolution_g: "0.01",
      year: "1950",
      evidence,
    });
  });

  it("name the first empty field", () => {
    expect(firstEmpty({ a: "1", b: " " }, { a: "A", b: "B", c: "C" })).toBe("b");
    expect(firstEmpty({ a: "1" }, { a: "A" })).toBe("");
  });
});

describe("places", () => {
  it("lead to a tool and back", () => {
    expect(toolAt(addressOf("book", "us-cent/1").slice(2))).toEqual({ tool: "book", rest: "us-cent/1" });
    expect(toolAt("roll")).toEqual({ tool: "roll", rest: "" });
    expect(toolAt("pile")).toEqual({ tool: "roll", rest: "" }); // an address of before
    expect(toolAt("book/%")).toEqual({ tool: "book", rest: "" });
    expect(toolAt("weigh")).toBeNull();
    expect(toolAt("")).toBeNull();
  });
});

describe("the distribution's bars", () => {
  const answer = (probability: number[], low: number, high: number) => {
    const a = readRollAnswer({ of: "count", from: 10, probability, best: low, low, high });
    if (!a) throw new Error("unread");
    return a;
  };

  it("leave thin tails off, but never the interval", () => {
    expect(barsOf(answer([0, 0, 0.4, 0.6, 0, 0], 11, 13), 60)).toEqual([
      { first: 11, last: 11, probability: 0, inside: true },
      { first: 12, last: 12, probability: 0.4, inside: true },
      { first: 13, last: 13, probability: 0.6, inside: true },
    ]);
  });

  it("join numbers where there are too many, and lose no probability", () => {
    const many = Array.from({ length: 500 }, () => 1 / 500);
    const bars = barsOf(answer(many, 20, 480), 60);
    expect(bars.length).toBeLessThanOrEqual(60);
    expect(bars.reduce((sum, b) => sum + b.probability, 0)).toBeCloseTo(1, 12);
    expect(bars.at(-1)?.last).toBe(509);
  });

  it("are none without a distribution", () => {
    expect(barsOf(answer([], 1, 2), 60)).toEqual([]);
  });
});

describe("answers about weighings", () => {
  it("aren't shown without their essentials", () => {
    expect(readDensityAnswer({ density: 8.9, u: 0.1, low: 8.7 })).toBeNull();
    expect(readRollAnswer({ best: 1 })).toBeNull();
    const metals = [{ name: "a", low: 1, high: 2, remains: true }, { name: "no band" }];
    const d = readDensityAnswer({ density: 8.9, u: 0.1, low: 8.7, high: 9.1, alloys: metals });
    expect(d?.alloys.map((m) => m.name)).toEqual(["a"]);
  });
});

describe("what the weighing says to the key", () => {
  const shown = (speaks: boolean, settled = true) =>
    ({
      settled,
      question: { country: "US", denomination: "cent", year: 1982, mint: "D" },
      verdict: { hint: "light", explanations: [{ kind: "wrong-planchet", speaks }] },
    }) as unknown as Shown;

  it("is the hint, and an explanation only if it speaks for itself", () => {
    expect(saidByScale(shown(true))).toMatchObject({ hint: "light", explanations: ["wrong-planchet"] });
    expect(saidByScale(shown(false))).toMatchObject({ hint: "light", explanations: [] });
  });

  it("is nothing before a weight has settled", () => {
    expect(saidByScale(shown(true, false))).toEqual({});
    expect(saidByScale(null)).toEqual({});
  });
});
