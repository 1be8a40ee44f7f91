import { describe, expect, it } from "vitest";
import { twoReadings } from "./plain-number";

describe("a typed number that can be a thousand times another", () => {
  it.each([
    ["1,234", ".", { decimal: "1.234", whole: "1234" }],
    [" 12,500 ", ".", { decimal: "12.500", whole: "12500" }],
    ["1.234", ",", { decimal: "1,234", whole: "1234" }],
    ["1.234", ".", null], // its own sign
    ["1,234", ",", null],
    ["0,123", ".", null], // no thousand begins with nothing
    ["1,23", ".", null],
    ["1,2345", ".", null],
    ["1234", ".", null],
    ["1,234,567", ".", null], // refused as no number
    ["", ".", null],
  ])("%j where %j is the sign", (typed, sign, ways) => {
    expect(twoReadings(typed, sign)).toEqual(ways);
  });
});
