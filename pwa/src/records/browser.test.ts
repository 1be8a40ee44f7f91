import { describe, expect, it } from "vitest";
import { fullness, onePageAtATime, Persistence } from "./browser";
import { locksOfOneBrowser } from "./browser-fake";

describe("rounds of the sync", () => {
  it("go on one page at a time, and again once that is through", async () => {
    const shared = locksOfOneBrowser();
    const [one, other] = [onePageAtATime(shared), onePageAtATime(shared)];
    let end = () => {};
    const first = one(() => new Promise<string>((resolve) => (end = () => resolve("pushed"))));
    let began = false;
    const second = await other(async () => {
      began = true;
      return "pushed twice";
    });
    expect([second, began]).toEqual([null, false]);
    end();
    expect(await first).toBe("pushed");
    expect(await other(async () => "later")).toBe("later");
  });

  it("can be tried again after one failed", async () => {
    const shared = locksOfOneBrowser();
    await expect(onePageAtATime(shared)(() => Promise.reject(new Error("broke")))).rejects.toThrow("broke");
    expect(await onePageAtATime(shared)(async () => 1)).toBe(1);
  });

  it("go on where the browser has no locks", async () => {
    expect(await onePageAtATime(undefined)(async () => 1)).toBe(1);
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
