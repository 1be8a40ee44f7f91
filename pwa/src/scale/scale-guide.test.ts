import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { CoreClient } from "../core/client";
import { coreIsBuilt, realCore } from "../core/core-fixture";
import { type LocalStorage, readStored } from "../device/local-storage";
import type { Grams, Phase } from "../live/wire";
import type { Reading } from "../weigh/reading";
import { ScaleGuide } from "./scale-guide";
import { type KitWeight, keptDraft, readDraft } from "./scale-record";

const fifty: KitWeight = { nominal: "50", class: "F2", value: "", expanded: "" };
const before = JSON.parse(readFileSync(join(import.meta.dirname, "stored-before.json"), "utf8"));

class MemoryStorage implements LocalStorage {
  kept = new Map<string, string>();
  getItem = (k: string) => this.kept.get(k) ?? null;
  setItem = (k: string, v: string) => void this.kept.set(k, v);
  removeItem = (k: string) => void this.kept.delete(k);
}

const shows = (shown: string, phase: Phase = "settled", status = "stable"): Reading => ({
  is: "weight",
  phase,
  shown,
  unit: "g",
  status,
  load: null,
  resolution: 0.01 as Grams,
  unconfirmed: null,
  seconds: 0,
  stale: false,
  scale: { name: "a", kind: "serial", format: "print-line", assumed: true },
});

interface Asked {
  draft: { restarts: number } | null;
  moment: unknown;
  events: { do: string; [field: string]: unknown }[];
}

/** A core that only counts: readings since the last restart. It answers when it is let. */
function slowCore() {
  const asked: Asked[] = [];
  const open: (() => void)[] = [];
  let broken = false;
  const call: CoreClient["call"] = async (_, question) => {
    const q = question as Asked;
    asked.push(structuredClone(q));
    await new Promise<void>((go) => open.push(go));
    if (broken) return { error: { code: "nobody-answers", sentence: "" } };
    const kept = readDraft(q.draft).readings.map((r) => r.shown);
    for (const e of q.events) {
      if (e.do === "show" && e.shown) kept.push(String(e.shown));
      if (e.do === "restart") kept.length = 0;
    }
    return {
      ok: {
        draft: { at: "middle", weights: [{}], readings: kept.map((shown) => ({ weight: "0", shown })) },
        moment: { do: "put", said: null, by_hand: false, watch: { seconds: 0 }, n: asked.length },
        ask: { do: "put", weight: 0, edge: "", nth: 1, of: 3, left_s: 0 },
        check: null,
        result: null,
        refused: null,
      },
    };
  };
  const answer = async () => {
    open.shift()?.();
    for (let i = 0; i < 10; i++) await Promise.resolve();
  };
  return { core: { call }, asked, answer, break: (is: boolean) => (broken = is) };
}

describe("what happened goes to the core in its order", () => {
  it("displays together, what a person does by itself, and nothing past a restart", async () => {
    const { core, asked, answer } = slowCore();
    const guide = new ScaleGuide(core, new MemoryStorage());
    void guide.begin([fifty], 3);
    await answer();
    guide.live(shows("1"), 100.4);
    guide.live(shows("2"), 200);
    guide.live(shows("3"), 300);
    const restarted = guide.restart();
    guide.live(shows("4"), 400);
    await answer();
    await answer();
    // What was read before the restart, and what waited when it came, is thrown away.
    await answer();
    await restarted;
    await answer();
    expect(asked.map((q) => q.events.map((e) => e.shown ?? e.do))).toEqual([
      ["begin"],
      ["1"],
      ["2", "3"],
      ["restart"],
      ["4"],
    ]);
    expect(guide.draft.value.readings.map((r) => r.shown)).toEqual(["4"]);
    expect(asked[1]?.events[0]).toMatchObject({ at: 100, phase: "settled", unit: "g", status: "stable" });
    expect(asked[2]?.moment).toMatchObject({ n: 2 });
  });

  it("says so when nobody answers, and lets a display rest anew", async () => {
    const slow = slowCore();
    const guide = new ScaleGuide(slow.core, new MemoryStorage());
    void guide.begin([fifty], 3);
    await slow.answer();
    slow.break(true);
    guide.live(shows("1"), 100);
    await slow.answer();
    expect(guide.said.value).toEqual({ is: "refused", shown: "", unit: "", sentence: "" });
    slow.break(false);
    guide.live(shows("2"), 200);
    await slow.answer();
    expect(guide.said.value).toBeNull();
    expect(slow.asked.at(-1)?.events.map((e) => e.shown)).toEqual([undefined, "2"]);
  });

  it("what is shown on and on four times a second", async () => {
    const slow = slowCore();
    const guide = new ScaleGuide(slow.core, new MemoryStorage());
    void guide.begin([fifty], 3);
    await slow.answer();
    for (let at = 0; at < 1000; at += 50) guide.live(shows("1"), at);
    guide.live(shows("1", "settled", "moving"), 1001);
    await slow.answer();
    await slow.answer();
    expect(slow.asked.slice(1).flatMap((q) => q.events.map((e) => e.at))).toEqual([0, 250, 500, 750, 1001]);
  });

  it("a stale weight and a problem are no display", async () => {
    const slow = slowCore();
    const guide = new ScaleGuide(slow.core, new MemoryStorage());
    void guide.begin([fifty], 3);
    await slow.answer();
    guide.live({ ...shows("1"), stale: true } as Reading, 100);
    guide.live({ is: "problem", problem: { code: "x", sentence: "Out." }, ask: null, scale: null }, 200);
    await slow.answer();
    await slow.answer();
    const events = slow.asked.slice(1).flatMap((q) => q.events);
    expect(events).toEqual([
      { do: "show", at: 100 },
      { do: "show", at: 200, problem: "Out." },
    ]);
  });
});

describe("a draft of before", () => {
  it("is read whole under the core’s names", () => {
    const draft = readDraft(keptDraft(before));
    expect(draft).toMatchObject({
      at: "edges",
      times: 3,
      scale: { name: "/dev/ttyUSB0", format: "status-comma" },
      temperature: "21.5",
      place: "kitchen",
      watched: 130.5,
    });
    expect(draft.weights[1]).toEqual({ nominal: "20", class: "M1", value: "20.0012", expanded: "0.0004" });
    expect(draft.readings.map((r) => `${r.weight} ${r.shown} ${r.zero}`)).toContain("0 50.16 0.01");
    expect(draft.readings).toHaveLength(6);
    expect(draft.offCentre).toEqual([{ weight: 0, shown: "50.14", zero: "0.00" }]);
  });

  it("and one of now, or a damaged one, is left as it is", () => {
    const now = { at: "middle", off_centre: null };
    expect(keptDraft(now)).toBe(now);
    for (const damaged of [null, 5, [], { at: "middle" }, { weights: "x" }])
      expect(readDraft(keptDraft(damaged)).weights).toEqual([]);
  });
});

describe.skipIf(!coreIsBuilt)("a check over the built core", () => {
  let core: Pick<CoreClient, "call">;
  beforeAll(async () => {
    const call = await realCore();
    core = { call: (method, question) => call(method, JSON.stringify(question)) };
  }, 30_000);

  /** A table with a scale: the clock goes in steps of the live stream. */
  function table(storage = new MemoryStorage()) {
    const guide = new ScaleGuide(core, storage);
    let now = 0;
    const show = async (r: Reading, ms = 1700, step = 100) => {
      for (let t = 0; t < ms; t += step) {
        guide.live(r, now);
        now += step;
        for (let i = 0; i < 8; i++) await Promise.resolve();
      }
    };
    const weigh = async (shown: string, zero = "0.00") => {
      await show(shows(zero, "empty", "zero"));
      await show(shows("12.34", "moving", "moving"), 300);
      await show(shows(shown));
    };
    return { guide, show, weigh, storage };
  }

  it("asks for each weight, takes what rests, and comes to its end", async () => {
    const { guide, show, weigh } = table();
    expect(await guide.begin([{ ...fifty, nominal: "30" }], 3)).toMatchObject({
      field: "weights.0.nominal_g",
    });
    expect(await guide.begin([fifty, { ...fifty, nominal: "20" }], 3)).toBeNull();
    for (const shown of ["50.15", "50.16", "50.15", "20.06", "20.06", "20.07"]) {
      await show(shows("0.00", "empty", "zero"));
      expect(guide.ask.value).toMatchObject({ do: "put", weight: shown.startsWith("5") ? 0 : 1 });
      await show(shows(shown));
      expect(guide.said.value).toMatchObject({ is: "taken", shown });
    }
    expect(guide.draft.value).toMatchObject({ at: "further", scale: { name: "a" } });
    expect(guide.result.value?.byLoad.length).toBeGreaterThan(5);
    await guide.go("edges");
    for (const edge of ["front", "right", "back", "left"]) {
      expect(guide.ask.value).toMatchObject({ edge, weight: 0 });
      await weigh("50.15");
    }
    await guide.go("alone");
    await show(shows("50.15"), 100_000, 2500);
    expect(guide.aloneEnough).toBe(false);
    expect(guide.ask.value?.do).toBe("watch");
    await show(shows("50.15"), 90_000, 2500);
    expect(guide.aloneEnough).toBe(true);
    expect(guide.draft.value.at).toBe("further");
    await guide.finish("hot", "");
    expect(guide.said.value).toMatchObject({ is: "refused" });
    await guide.finish("21", "kitchen");
    expect(guide.draft.value.at).toBe("result");
    expect(guide.check).toMatchObject({ temperature_c: "21", place: "kitchen", off_centre: { length: 4 } });
    await guide.keptOnLaptop("connected");
    expect(guide.keptFor.value).toBe("connected");
    expect(guide.draft.value).toMatchObject({ at: "kit", readings: [], weights: [fifty, { nominal: "20" }] });
    expect(guide.result.value).toBeNull();
  }, 30_000);

  it("takes no display while the scale’s own sign says moving", async () => {
    const { guide, show } = table();
    await guide.begin([fifty], 3);
    await show(shows("0.00", "empty", "zero"));
    await show(shows("50.15", "settled", "moving"), 4000);
    expect(guide.draft.value.readings).toEqual([]);
    await show(shows("50.15", "settled", "stable"));
    expect(guide.draft.value.readings).toHaveLength(1);
  });

  it("goes on after a reload, also with a draft of before", async () => {
    const first = table();
    await first.guide.begin([fifty], 3);
    await first.weigh("50.15");
    expect(readStored(first.storage, "panside.scale-check")).toMatchObject({ at: "middle" });
    const again = table(first.storage);
    await again.weigh("50.16");
    expect(again.guide.draft.value.readings.map((r) => r.shown)).toEqual(["50.15", "50.16"]);

    const storage = new MemoryStorage();
    storage.setItem("panside.scale-check", JSON.stringify(before));
    const old = table(storage);
    await old.show({ is: "nothing" });
    expect(old.guide.result.value?.byLoad.length).toBeGreaterThan(5);
    expect(old.guide.ask.value).toMatchObject({ do: "empty", edge: "right", nth: 2 });
    // The scale of then goes on; another one would be refused.
    await old.weigh("50.15");
    expect(old.guide.said.value).toMatchObject({ is: "scale" });
    expect(old.guide.check).toMatchObject({ weights: { length: 2 }, readings: { length: 6 } });
  });

  it("takes what is typed without a live weight, and takes the last back", async () => {
    const { guide, show } = table();
    await guide.begin([fifty], 3);
    await guide.typeDisplays(true);
    await guide.typed("40.15", "");
    expect(guide.said.value).toMatchObject({ is: "refused" });
    for (const shown of ["50.15", "50.16"]) await guide.typed(shown, "");
    await show(shows("77.77"));
    await guide.undo();
    expect(guide.draft.value.readings).toEqual([{ weight: 0, shown: "50.15", zero: "0" }]);
  });
});
