import { signal } from "@preact/signals";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { HandsCoin, HandsEvent } from "../hands/hands";
import { mostUndo } from "../hands/hands";
import type { Shown } from "../weigh/live-verdict";
import { CoinCounting } from "./count-coins";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const tally = { name: "", keeper: false };
const shown = (placement: number, call: string) => ({ placement, verdict: { call, tally } }) as Shown;
const handsCoin = (id: string, call: string) => ({ id, verdict: { call, tally } }) as HandsCoin;

class Table {
  hunt = "jar";
  written: [string, Record<string, number>][] = [];
  say = (_: HandsEvent): void => {};
  counting = new CoinCounting({
    hunt: () => this.hunt,
    write: async (hunt, { calls }) => void this.written.push([hunt, calls]),
  });

  constructor() {
    this.counting.handsFree({
      listen: (l) => {
        this.say = l;
        return () => {};
      },
    });
  }
}

describe("coins weighed one by one", () => {
  it("are counted by metal and keeper too, and taken back so", async () => {
    const metals: unknown[] = [];
    const counting = new CoinCounting({
      hunt: () => "jar",
      write: async (_, counts) => void metals.push(counts.metals),
    });
    let say = (_: HandsEvent): void => {};
    counting.handsFree({
      listen: (l) => {
        say = l;
        return () => {};
      },
    });
    const of = (id: string, name: string, keeper: boolean) =>
      ({ id, verdict: { call: keeper ? "keeper" : "ordinary", tally: { name, keeper } } }) as HandsCoin;
    const silver = of("1", "90 % silver", true);
    for (const coin of [silver, of("2", "Clad", false), of("3", "Clad", false)]) say({ is: "counted", coin });
    await counting.flush();
    say({ is: "taken-back", coin: silver });
    await counting.flush();
    expect(metals).toEqual([
      [
        { name: "90 % silver", coins: 1, keepers: 1 },
        { name: "Clad", coins: 2, keepers: 0 },
      ],
      [{ name: "90 % silver", coins: -1, keepers: -1 }],
    ]);
  });

  it("are counted once each, when their verdict is retired", async () => {
    const t = new Table();
    const last = signal<Shown | null>(null);
    t.counting.each(last, () => true);
    last.value = shown(1, "ordinary");
    last.value = shown(1, "look"); // the same coin, judged for another date
    last.value = shown(2, "look");
    await t.counting.flush();
    expect(t.written).toEqual([["jar", { ordinary: 1, look: 1 }]]);
  });

  it("aren't counted where they don't count, nor later", async () => {
    const t = new Table();
    const last = signal<Shown | null>(null);
    let watching = true;
    t.counting.each(last, () => !watching);
    last.value = shown(1, "ordinary");
    watching = false;
    last.value = shown(1, "ordinary");
    last.value = shown(2, "ordinary");
    await t.counting.flush();
    expect(t.written).toEqual([["jar", { ordinary: 1 }]]);
  });

  it("that were there before aren't counted", async () => {
    const t = new Table();
    t.counting.each(signal<Shown | null>(shown(1, "ordinary")), () => true);
    await t.counting.flush();
    expect(t.written).toEqual([]);
  });

  it("belong to no hunt where none goes on", async () => {
    const t = new Table();
    t.hunt = "";
    const last = signal<Shown | null>(null);
    t.counting.each(last, () => true);
    last.value = shown(1, "ordinary");
    t.hunt = "rolls";
    await t.counting.flush();
    expect(t.written).toEqual([]);
  });
});

describe("coins of a sitting hands-free", () => {
  it("are taken back from the hunt that they were counted in", async () => {
    const t = new Table();
    t.say({ is: "counted", coin: handsCoin("a", "look") });
    await t.counting.flush();
    t.hunt = "rolls";
    t.say({ is: "taken-back", coin: handsCoin("a", "look") });
    await t.counting.flush();
    expect(t.written).toEqual([
      ["jar", { look: 1 }],
      ["jar", { look: -1 }],
    ]);
  });

  it("are remembered as long as they can be taken back", async () => {
    const t = new Table();
    for (let i = 0; i < mostUndo; i++) t.say({ is: "counted", coin: handsCoin(String(i), "ordinary") });
    t.hunt = "rolls";
    t.say({ is: "taken-back", coin: handsCoin("0", "ordinary") });
    await t.counting.flush();
    expect(t.written.at(-1)?.[0]).toBe("jar");
  });
});
