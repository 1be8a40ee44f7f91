import { describe, expect, it, vi } from "vitest";
import { fullness, onePageAtATime, Persistence } from "./browser";
import { locksOfOneBrowser } from "./browser-fake";

describe("rounds of the sync", () => {
  it("go on one page at a time, and again once that is through", async () => {
    const shared = locksOfOneBrowser();
    const [one, other] = [onePageAtATime(shared), onePageAtATime(shared)];
    const letGo = await one();
    expect(letGo).not.toBeNull();
    expect(await other()).toBeNull();
    letGo?.();
    await vi.waitFor(async () => expect(await other()).not.toBeNull());
  });

  it("go on where the browser has no locks", async () => {
    expect(await onePageAtATime(undefined)()).not.toBeNull();
  });
});

describe("the browser's storage", () => {
  it("says how full it is, or nothing", async () => {
    expect(await fullness({ estimate: async () => ({ usage: 30, quota: 40 }) })).toBe(0.75);
    expect(await fullness({ estimate: () => Promise.reject(new Error("no")) })).toBeNull();
    expect(await fullness(undefined)).toBeNull();
  });

  it("is asked to keep the records until it says yes", async () => {
    const answers = [false, true, true];
    let asked = 0;
    const p = new Persistence({ persist: async () => answers[asked++] ?? true });
    expect(p.granted.value).toBeNull();
    await p.ask();
    expect(p.granted.value).toBe(false);
    await p.ask();
    await p.ask();
    expect([p.granted.value, asked]).toEqual([true, 2]);
  });
});
