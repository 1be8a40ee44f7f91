import { describe, expect, it } from "vitest";
import { placeWords, spotOf } from "./spot";

describe("a place on the coin", () => {
  it.each([
    [0.5, 0.05, "12 o’clock, at the rim"],
    [0.95, 0.5, "3 o’clock, at the rim"],
    [0.5, 0.8, "6 o’clock, in the field"],
    [0.2, 0.5, "9 o’clock, in the field"],
    [0.52, 0.51, "center"],
  ])("%f, %f is said as an hour", (x, y, words) => {
    expect(placeWords(x, y)).toBe(words);
  });

  it("stays on the coin", () => {
    for (const [x, y] of [
      [0, 0],
      [200, 100],
      [50, 300],
    ] as const) {
      const s = spotOf(x, y, 200, 200);
      expect(Math.hypot(s.x - 0.5, s.y - 0.5)).toBeLessThanOrEqual(0.501);
    }
    expect(spotOf(100, 50, 200, 200)).toEqual({ x: 0.5, y: 0.25 });
  });
});
