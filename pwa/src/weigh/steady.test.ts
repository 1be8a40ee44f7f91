import { beforeEach, describe, expect, it } from "vitest";
import { readVerdict } from "../core/read";
import type { Call, Verdict } from "../core/types";
import { holdMovingMs, holdSettledMs, Steady } from "./steady";

function verdict(call: Call, headline: string): Verdict {
  const v = readVerdict({ call, headline });
  if (!v) throw new Error("no verdict");
  return v;
}

const bronze = verdict("ordinary", "Bronze");
const zinc = verdict("ordinary", "Zinc");
const unsure = verdict("cannot-tell", "Can't tell");
let steady: Steady;
beforeEach(() => {
  steady = new Steady();
});

describe("Steady", () => {
  it("shows the first answer to a load at rest at once", () => {
    expect(steady.offer(unsure, true, 0, "3.11")).toBe(unsure);
  });

  it("waits a moment while the load settles", () => {
    expect(steady.offer(bronze, false, 0, "3.11")).toBeNull();
    expect(steady.offer(bronze, false, holdMovingMs - 1, "3.11")).toBeNull();
    expect(steady.offer(bronze, false, holdMovingMs, "3.11")).toBe(bronze);
  });

  it("shows what a second estimate confirms", () => {
    expect(steady.offer(bronze, false, 0, "3.11")).toBeNull();
    expect(steady.offer(bronze, false, 60, "3.11")).toBeNull();
    expect(steady.offer(bronze, false, 20, "3.12")).toBeNull();
    expect(steady.offer(bronze, false, 60, "3.12")).toBe(bronze);
    expect(steady.offer(zinc, false, 100, "2.51")).toBe(bronze);
    expect(steady.offer(zinc, false, 120, "2.52")).toBe(bronze);
  });

  it("shows nothing once several answers come in turn", () => {
    steady.offer(bronze, true, 0, "3.11");
    for (let t = 50; t < 350; t += 50) {
      expect(steady.offer(t % 100 ? zinc : unsure, true, t, "2.8")?.headline).toBe("Bronze");
    }
    expect(steady.offer(zinc, true, 350, "2.8")).toBeNull();
  });

  it("doesn't show “can't tell” before the load rests", () => {
    expect(steady.offer(unsure, false, 0, "3.11")).toBeNull();
    expect(steady.offer(unsure, false, 10_000, "3.11")).toBeNull();
  });

  it("starts waiting anew when the answer changes meanwhile", () => {
    steady.offer(bronze, false, 0, "3.11");
    steady.offer(zinc, false, holdMovingMs - 10, "3.11");
    expect(steady.offer(zinc, false, holdMovingMs + 50, "3.11")).toBeNull();
    expect(steady.offer(zinc, false, 2 * holdMovingMs, "3.11")).toBe(zinc);
  });

  it("corrects an early answer as soon as the load rests", () => {
    steady.offer(bronze, false, 0, "3.11");
    expect(steady.offer(bronze, false, holdMovingMs, "3.11")).toBe(bronze);
    expect(steady.offer(zinc, true, holdMovingMs + 1, "3.11")).toBe(zinc);
  });

  it("doesn't flicker between two answers at rest", () => {
    steady.offer(bronze, true, 0, "3.11");
    for (let t = 50; t < 2000; t += 50) {
      expect(steady.offer(t % 100 ? zinc : bronze, true, t, "3.11")?.headline).toBe("Bronze");
    }
  });

  it("changes at rest when the new answer holds", () => {
    steady.offer(bronze, true, 0, "3.11");
    expect(steady.offer(zinc, true, 100, "3.11")).toBe(bronze);
    expect(steady.offer(zinc, true, 100 + holdSettledMs, "3.11")).toBe(zinc);
  });

  it("lets the figures inside an unchanged answer follow at once", () => {
    steady.offer(bronze, true, 0, "3.11");
    const again = verdict("ordinary", "Bronze");
    expect(steady.offer(again, true, 1, "3.11")).toBe(again);
  });

  it("takes a verdict off the glass when its load moves again, however sure the core is", () => {
    steady.offer(bronze, true, 0, "3.11");
    expect(steady.offer(bronze, false, 100, "3.11")).toBe(bronze);
    expect(steady.offer(bronze, false, 100 + holdSettledMs, "3.11")).toBeNull();
    expect(steady.offer(bronze, false, 5000, "3.11")).toBeNull();
    expect(steady.offer(bronze, true, 6000, "3.11")).toBe(bronze);
  });

  it("keeps a verdict through a single restless reading", () => {
    steady.offer(bronze, true, 0, "3.11");
    steady.offer(bronze, false, 100, "3.11");
    expect(steady.offer(bronze, true, 200, "3.11")).toBe(bronze);
    expect(steady.offer(bronze, false, 450, "3.11")).toBe(bronze);
  });

  it("takes a headline with another weight in it for the same answer", () => {
    steady.offer(verdict("look", "2.26 g is what a dime weighs."), true, 0, "3.11");
    const next = verdict("look", "2.27 g is what a dime weighs.");
    expect(steady.offer(next, true, 1, "3.11")).toBe(next);
  });

  it("forgets everything with a new load", () => {
    steady.offer(bronze, true, 0, "3.11");
    steady.reset();
    expect(steady.offer(zinc, false, 1, "3.11")).toBeNull();
  });
});
