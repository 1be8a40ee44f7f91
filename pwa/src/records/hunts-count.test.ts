import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { HuntCounter } from "./hunts-count";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const coin = (call: string) => ({ call, metal: "", keeper: false });

function counter() {
  const written: [string, Record<string, number>][] = [];
  let fail = false;
  const c = new HuntCounter(async (hunt, { calls }) => {
    if (fail) throw new Error("full");
    written.push([hunt, calls]);
  });
  return { c, written, failing: (yes: boolean) => (fail = yes) };
}

describe("HuntCounter", () => {
  it("writes after ten coins, or a few seconds", async () => {
    const { c, written } = counter();
    for (let i = 0; i < 9; i++) c.add("a", coin("ordinary"), 1);
    expect(written).toEqual([]);
    c.add("a", coin("look"), 1);
    await vi.advanceTimersByTimeAsync(0);
    expect(written).toEqual([["a", { ordinary: 9, look: 1 }]]);
    c.add("a", coin("ordinary"), 1);
    await vi.advanceTimersByTimeAsync(6000);
    expect(written[1]).toEqual(["a", { ordinary: 1 }]);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(written).toHaveLength(2);
  });

  it("takes a coin back, before it was written and after, and by itself", async () => {
    const { c, written } = counter();
    c.add("a", coin("ordinary"), 1);
    c.add("a", coin("ordinary"), -1);
    await vi.advanceTimersByTimeAsync(6000);
    expect(written).toEqual([]);
    c.add("a", coin("look"), 1);
    await c.flush();
    c.add("a", coin("look"), -1);
    c.add("a", coin("look"), 1);
    await vi.advanceTimersByTimeAsync(6000);
    expect(written).toEqual([["a", { look: 1 }]]);
    c.add("a", coin("look"), -1);
    await vi.advanceTimersByTimeAsync(6000);
    expect(written[1]).toEqual(["a", { look: -1 }]);
  });

  it("takes a coin back from the hunt that it was counted in", async () => {
    const { c, written } = counter();
    c.add("a", coin("look"), 1);
    c.add("b", coin("look"), 1);
    c.add("a", coin("look"), -1);
    await c.flush();
    expect(written).toEqual([
      ["a", { look: 1 }],
      ["b", { look: 1 }],
      ["a", { look: -1 }],
    ]);
  });

  it("writes each hunt's coins to that hunt", async () => {
    const { c, written } = counter();
    c.add("a", coin("ordinary"), 1);
    c.add("b", coin("ordinary"), 1);
    await c.flush();
    expect(written).toEqual([
      ["a", { ordinary: 1 }],
      ["b", { ordinary: 1 }],
    ]);
  });

  it("loses no coin when writing fails", async () => {
    const { c, written, failing } = counter();
    failing(true);
    c.add("a", coin("ordinary"), 1);
    await vi.advanceTimersByTimeAsync(6000);
    failing(false);
    c.add("a", coin("ordinary"), 1);
    await vi.advanceTimersByTimeAsync(6000);
    expect(written).toEqual([["a", { ordinary: 2 }]]);
  });
});
