import { describe, expect, it } from "vitest";
import { mostPartBytes, PartSize } from "./part-size";

/** Sends parts over a line until their size doesn't change; how long the last took, in ms. */
function over(bytesASecond: number, size = new PartSize()): number {
  let took = 0;
  for (let i = 0; i < 50; i++) {
    took = (size.now / bytesASecond) * 1000;
    size.went(size.now, took);
  }
  return took;
}

describe("PartSize", () => {
  it("lets a part arrive within seconds over a slow line, from the first one on", () => {
    expect(new PartSize().now / 10_000).toBeLessThan(10);
    expect(over(10_000)).toBeLessThan(6_000);
    expect(over(2_000)).toBeLessThan(6_000);
  });

  it("grows with a quick line up to what the laptop takes, also where no time passes", () => {
    const size = new PartSize();
    over(10_000_000, size);
    expect(size.now).toBe(mostPartBytes);
    const timeless = new PartSize();
    for (let i = 0; i < 10; i++) timeless.went(timeless.now, 0);
    expect(timeless.now).toBe(mostPartBytes);
  });

  it("gets smaller when parts don't arrive, but never nothing", () => {
    const size = new PartSize();
    const first = size.now;
    size.failed();
    expect(size.now).toBe(first / 2);
    for (let i = 0; i < 50; i++) size.failed();
    expect(size.now).toBeGreaterThan(1000);
    size.went(size.now, 1e9);
    expect(size.now).toBeGreaterThan(1000);
  });

  it("keeps to a smaller limit", () => {
    const size = new PartSize(64);
    over(1e9, size);
    expect(size.now).toBe(64);
    size.failed();
    expect(size.now).toBe(64);
  });
});
