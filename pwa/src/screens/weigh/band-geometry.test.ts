import { describe, expect, it } from "vitest";
import { bandGeometry } from "./band-geometry";

const cent = { nominal: 3.11, limit: 0.13, mean: 3.11, u: 0.0076 };

describe("bandGeometry", () => {
  it("puts the standard mass in the middle and the limits evenly beside it", () => {
    const b = bandGeometry(cent);
    expect(b.nominal).toBe(0.5);
    expect((b.low ?? 0) + (b.high ?? 0)).toBeCloseTo(1);
    expect(b.low).toBeGreaterThan(0);
    expect(b.mean).toBeCloseTo(0.5);
    expect(b.narrow).toBe(false);
  });

  it("draws to scale: a weight on the limit lies on its line", () => {
    for (const mean of [3.11 - 0.13, 3.11 + 0.13]) {
      const b = bandGeometry({ ...cent, mean });
      expect(b.mean).toBeCloseTo((mean < 3.11 ? b.low : b.high) ?? Number.NaN, 9);
    }
  });

  it("draws u and 2u evenly about the weight", () => {
    const b = bandGeometry(cent);
    expect(b.mean - b.u1[0]).toBeCloseTo(b.u1[1] - b.mean);
    expect(b.u2[1] - b.u2[0]).toBeCloseTo(2 * (b.u1[1] - b.u1[0]));
  });

  it("widens until the weight and its interval are in the picture", () => {
    const b = bandGeometry({ ...cent, mean: 2.5, u: 0.02 });
    expect(b.off).toBeNull();
    expect(b.u2[0]).toBeGreaterThan(0);
    expect(b.mean).toBeLessThan(b.low ?? 0);
    expect(b.narrow).toBe(true);
  });

  it.each([
    [0.5, "low", 0],
    [11.34, "high", 1],
  ] as const)("says which way a weight of %f g lies outside", (mean, off, at) => {
    const b = bandGeometry({ ...cent, mean });
    expect(b.off).toBe(off);
    expect(b.mean).toBe(at);
    expect(b.low).toBeGreaterThan(0.4); // the band is still to be seen
  });

  it("stays in the picture with a very coarse scale", () => {
    const b = bandGeometry({ ...cent, mean: 3, u: 5 });
    expect(b.u2).toEqual([0, 1]);
    expect(b.off).toBeNull();
  });

  it("draws no limits where none are published", () => {
    const b = bandGeometry({ nominal: 8.1, limit: null, mean: 8.06, u: 0.01 });
    expect([b.low, b.high, b.narrow]).toEqual([null, null, false]);
    expect(b.mean).toBeLessThan(0.5);
    expect(b.mean).toBeGreaterThan(0);
  });
});
