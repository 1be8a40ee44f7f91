import { describe, expect, it } from "vitest";
import { ageOf, elapsed, isStale, shownSeconds } from "./age";
import { HandClock, received } from "./fixture";

const t0 = { steady: 5000, wall: 1_000_000 };
const later = (steady: number, wall: number) => ({ steady: t0.steady + steady, wall: t0.wall + wall });

describe("age", () => {
  it("is what the server said plus the time since", () => {
    const clock = new HandClock();
    const r = received(clock.now(), { age_ms: 300 });
    clock.pass(450);
    expect(ageOf(r, clock.now())).toBe(750);
  });

  it("goes on while the steady clock sleeps", () => {
    expect(elapsed(t0, later(20, 60_000))).toBe(60_000);
  });

  it("can't be made younger by setting the clock back", () => {
    expect(elapsed(t0, later(1500, -3_600_000))).toBe(1500);
  });

  it("is never negative", () => {
    expect(elapsed(t0, later(-5, -5))).toBe(0);
  });

  it.each([
    [0, false],
    [1000, false],
    [1001, true],
  ])("of %i ms: stale is %s", (ms, stale) => {
    expect(isStale(ms)).toBe(stale);
  });

  it("is shown in whole seconds, rounded down", () => {
    expect([0, 999, 1000, 2999].map(shownSeconds)).toEqual([0, 0, 1, 2]);
  });
});
