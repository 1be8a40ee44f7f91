import { describe, expect, it } from "vitest";
import { fields, isCount, list, number, oneOf, strings, words } from "./json";

const strange = [undefined, null, 0, -1, 0.5, Number.NaN, "", "x", true, [], ["x", 1], {}, { a: 1 }];

describe("readers of JSON", () => {
  it("give what is of the wanted kind", () => {
    expect(fields({ a: 1 })).toEqual({ a: 1 });
    expect(list([1, "x"])).toEqual([1, "x"]);
    expect(words("x")).toBe("x");
    expect([number(0), number(-0.5)]).toEqual([0, -0.5]);
    expect(strings(["x", 1, null, "y"])).toEqual(["x", "y"]);
    expect(oneOf(["look", "either"], "either")).toBe("either");
  });

  it("give an empty one for everything else", () => {
    expect(strange.filter((x) => Object.keys(fields(x)).length > 0)).toEqual([{ a: 1 }]);
    expect(strange.filter((x) => list(x).length > 0)).toEqual([["x", 1]]);
    expect(strange.filter((x) => words(x))).toEqual(["x"]);
    expect(strange.filter((x) => number(x) !== null)).toEqual([0, -1, 0.5]);
    expect(strange.filter(isCount)).toEqual([0]);
    expect(strange.flatMap(strings)).toEqual(["x"]);
    expect(strange.flatMap((x) => oneOf(["look"], x) ?? [])).toEqual([]);
  });
});
