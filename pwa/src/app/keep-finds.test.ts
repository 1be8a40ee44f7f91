import { describe, expect, it } from "vitest";
import type { WeightOf, Written } from "../core/journal";
import type { JudgeQuestion, Verdict } from "../core/types";
import { memoryStorage } from "../device/local-storage";
import type { AsideCoin } from "../hands/hands";
import type { Placement } from "../live/wire";
import { Acts } from "../records/acts";
import type { Change } from "../records/journal";
import type { KeepableCoin } from "../weigh/keepable-coin";
import { FindKeeper } from "./keep-finds";

const calibration: WeightOf["calibration"] = { repeatability_g: 0.004, calibration_g: 0.002, assumed: false };
const question: JudgeQuestion = {
  country: "US",
  denomination: "cent",
  year: 1943,
  mint: "S",
  mean_g: 3.105,
  u_g: 0.01,
  resolution_g: 0.01,
};
const verdict = { call: "look", headline: "Bronze, not steel" } as Verdict;

const coin = (coinId: string, placement = 1): KeepableCoin => ({
  coinId,
  placement: placement as Placement,
  label: "3.11 g",
  weight: {
    value: "3.11",
    unit: "g",
    at: 1000,
    scale: { name: "Kitchen scale", kind: "serial", assumed: false },
  },
  trace: { unit: "g", from: 900, after: [0], shown: ["3.11"], status: ["stable"] },
  coin: null,
  verdict: null,
});

const aside = (id: string, placement = 7): AsideCoin => ({
  id,
  placement,
  at: 5000,
  question,
  mean_g: 3.1052,
  u_g: 0.01,
  verdict,
  kind: "look/cent",
  label: "look",
  noted: false,
  early: false,
  trace: [],
  number: 1,
  byHand: false,
});

/** A keeper over a journal of the test's own. */
class Table {
  written: Change[] = [];
  undone: string[][] = [];
  full = false;
  hunt = "";
  remembered: KeepableCoin | null = null;
  onKept = 0;
  private stored = new Map<string, string>();
  /** While set, writing waits for it. */
  gate: Promise<void> | null = null;
  acts = new Acts(
    {
      write: async (change) => {
        await this.gate;
        if (this.full) throw new Error("full");
        this.written.push(change);
        const entry = this.entry(change.record || `find-${this.written.length}`);
        for (const field of ["coin", "verdict", "gist", "evidence"]) {
          if (!(field in change.set)) continue;
          const id = `${entry.record}/${field}/${this.written.length}`;
          entry.entries.push({ id, record: entry.record, kind: "find", field, raw: "" });
        }
        return entry;
      },
      undo: async (ids) => {
        this.undone.push(ids);
        return this.entry((ids[0] ?? "").split("/")[0] ?? "");
      },
    },
    () => {},
  );
  keeper = this.visit();

  /** The page opened anew, with what the browser kept. */
  visit() {
    return new FindKeeper({
      acts: this.acts,
      storage: memoryStorage(this.stored),
      now: () => 2000,
      hunt: () => this.hunt,
      calibration: (scale) => (scale === "Kitchen scale" ? calibration : null),
      earlier: () => this.remembered,
      onKept: () => this.onKept++,
    });
  }

  private n = 0;
  private entry(record: string): Written {
    return {
      record,
      entries: [{ id: `${record}/${++this.n}`, record, kind: "find", field: "weight", raw: "" }],
    };
  }

  /** Takes the last act back, as the controller does. */
  async undo() {
    const act = this.acts.last.peek();
    if (!act) throw new Error("nothing to take back");
    const by = await this.acts.undo(act);
    if (by) this.keeper.undone(act, by);
  }
}

describe("keeping a coin", () => {
  it("writes what was seen of it, with the hunt that goes on and the scale's own errors", async () => {
    const t = new Table();
    t.hunt = "hunt-1";
    const held = { ...coin("1-900"), coin: { country: "US", denomination: "cent" }, verdict };
    expect(await t.keeper.keep(held)).toBe("find-1");
    expect(t.written).toEqual([
      {
        kind: "find",
        record: "",
        set: {
          found: 2000,
          weight: { ...held.weight, calibration },
          trace: held.trace,
          coin: held.coin,
          verdict,
          gist: { call: "look" },
          hunt: "hunt-1",
        },
      },
    ]);
    expect(t.onKept).toBe(1);
  });

  it("keeps what was answered about it, as the judge was told it and as a list says it", async () => {
    const t = new Table();
    const choices = [
      { id: "small", name: "small date" },
      { id: "large", name: "large date" },
    ];
    const answered = [{ id: "us-cent-1982-date", sentence: "Which is it?", choices, choice: "small" }];
    const found = { ...verdict, metal: { id: "bronze", name: "bronze" }, answered };
    await t.keeper.keep({ ...coin("1-900"), verdict: found, evidence: { "us-cent-1982-date": "small" } });
    expect(t.written[0]?.set).toMatchObject({
      gist: { call: "look", metal: "bronze", seen: ["small date"] },
      evidence: { "us-cent-1982-date": "small" },
    });
    await t.keeper.keep({ ...coin("2-950"), verdict, evidence: {} });
    expect(t.written[1]?.set).not.toHaveProperty("evidence");
  });

  it("tells the find what was answered after it was kept, over its own words, and once", async () => {
    const t = new Table();
    const cent = { country: "US", denomination: "cent" };
    const held = { ...coin("1-900"), coin: cent, verdict, evidence: {} };
    await t.keeper.follow(held); // no find yet
    await t.keeper.keep(held);
    await t.keeper.follow({ ...held, verdict: { ...verdict, headline: "Weighed better." } });
    expect(t.written).toHaveLength(1);
    const answer = { "us-cent-1982-date": "large" };
    const answered = { ...held, verdict: { ...verdict, call: "ordinary" as const }, evidence: answer };
    await t.keeper.follow(answered);
    await t.keeper.follow(answered);
    expect(t.written).toHaveLength(2);
    expect(t.written[1]).toMatchObject({
      record: "find-1",
      set: { gist: { call: "ordinary" }, evidence: answer },
      saw: { verdict: ["find-1/verdict/1"], gist: ["find-1/gist/1"] },
    });
    await t.keeper.follow(held); // the answer taken back
    expect(t.written[2]).toMatchObject({ set: { evidence: {} }, saw: { verdict: ["find-1/verdict/2"] } });

    // What is asked for the next coin, while this one still lies there, isn't about it.
    await t.keeper.follow({ ...answered, coin: { country: "US", denomination: "dime" } });
    expect(t.written).toHaveLength(3);
    // The date of a coin that was kept without one is.
    const dated = { ...cent, year: 1982, mint: "D" };
    await t.keeper.follow({ ...answered, coin: dated });
    expect(t.written[3]?.set).toMatchObject({ coin: dated, evidence: answer });
    await t.keeper.follow({ ...answered, coin: { ...dated, year: 1983 } });
    expect(t.written).toHaveLength(4);

    // Answered and answered otherwise before the first is stored: the last one counts.
    let open = () => {};
    t.gate = new Promise((resolve) => {
      open = resolve;
    });
    const first = t.keeper.follow({ ...answered, coin: dated, evidence: {} });
    await t.keeper.follow({ ...answered, coin: dated, evidence: { "us-cent-1982-date": "small" } });
    open();
    await first;
    expect(t.written.at(-1)?.set).toMatchObject({ evidence: { "us-cent-1982-date": "small" } });
  });

  it("puts no scale's errors to a weight of another scale, nor to a typed one", async () => {
    const t = new Table();
    const other = coin("1-900");
    other.weight.scale = { name: "Other scale", kind: "serial", assumed: true };
    await t.keeper.keep(other);
    const { scale: _, ...typed } = coin("2-900").weight;
    await t.keeper.keep({ ...coin("2-900"), weight: typed });
    for (const change of t.written) expect(change.set.weight).not.toHaveProperty("calibration");
  });

  it("makes one find of a coin, however often it is kept", async () => {
    const t = new Table();
    expect(await t.keeper.keep(coin("1-900"))).toBe("find-1");
    expect(await t.keeper.keep(coin("1-900"))).toBe("find-1");
    expect(t.written).toHaveLength(1);
    expect(await t.keeper.keep(coin("2-950"))).toBe("find-2");
  });

  it("makes one find of a coin that is tapped twice before it is stored", async () => {
    const t = new Table();
    let open = () => {};
    t.gate = new Promise((resolve) => {
      open = resolve;
    });
    const first = t.keeper.keep(coin("1-900"));
    expect(t.keeper.keeping.value).toBe(true);
    expect(await t.keeper.keep(coin("1-900"))).toBeNull();
    open();
    expect(await first).toBe("find-1");
    expect(t.written).toHaveLength(1);
    expect(t.keeper.keeping.value).toBe(false);
  });

  it("can be tried again after it failed", async () => {
    const t = new Table();
    t.full = true;
    expect(await t.keeper.keep(coin("1-900"))).toBeNull();
    expect(t.acts.trouble.value).not.toBeNull();
    expect(t.keeper.kept.value.size).toBe(0);
    t.full = false;
    expect(await t.keeper.keep(coin("1-900"))).toBe("find-1");
    expect(t.acts.trouble.value).toBeNull();
  });

  it("is possible anew once it was taken back, and not once that was taken back too", async () => {
    const t = new Table();
    await t.keeper.keep(coin("1-900"));
    await t.undo();
    expect(t.undone).toEqual([["find-1/1"]]);
    expect(t.keeper.kept.value.has("1-900")).toBe(false);
    await t.undo();
    expect(t.acts.last.value?.what).toBe("redone");
    expect(await t.keeper.keep(coin("1-900"))).toBe("find-1");
    expect(t.written).toHaveLength(1);
  });

  it("stays as it is when another act is taken back", async () => {
    const t = new Table();
    await t.keeper.keep(coin("1-900"));
    await t.acts.write("saved", { kind: "find", record: "find-1", set: { note: "worn" } });
    await t.undo();
    expect(t.keeper.kept.value.get("1-900")).toBe("find-1");
  });
});

describe("keeping coins that were set aside", () => {
  it("makes a find of each once, also on a later visit", async () => {
    const t = new Table();
    expect(await t.keeper.keepAside([aside("a"), aside("b", 8)])).toBe(2);
    expect(await t.keeper.keepAside([aside("a")])).toBe(0);
    expect(await t.visit().keepAside([aside("a"), aside("b", 8)])).toBe(0);
    expect(t.written).toHaveLength(2);
  });

  it("takes the coin's own digits and readings where they are remembered, the estimate otherwise", async () => {
    const t = new Table();
    t.remembered = coin("7-4900", 7);
    await t.keeper.keepAside([aside("a")]);
    expect(t.written[0]?.set).toMatchObject({
      weight: { value: "3.11" },
      trace: { from: 900 },
      coin: { country: "US", denomination: "cent", year: 1943, mint: "S" },
      verdict,
    });
    t.remembered = null;
    await t.keeper.keepAside([aside("b", 8)]);
    expect(t.written[1]?.set).toMatchObject({ weight: { value: "3.105", mean_g: 3.1052, u_g: 0.01 } });
    expect(t.written[1]?.set).not.toHaveProperty("trace");
  });

  it("stops at the first that can't be saved", async () => {
    const t = new Table();
    t.full = true;
    expect(await t.keeper.keepAside([aside("a"), aside("b")])).toBe(0);
    expect(t.keeper.asideKept.value).toEqual([]);
  });

  it("is on the list again once it was taken back", async () => {
    const t = new Table();
    await t.keeper.keepAside([aside("a")]);
    const act = t.acts.last.peek();
    expect(act && t.keeper.asideAct("a", act)).toBe(true);
    expect(act && t.keeper.asideAct("b", act)).toBe(false);
    await t.undo();
    expect(t.keeper.asideKept.value).toEqual([]);
    await t.undo();
    expect(t.keeper.asideKept.value).toEqual(["a"]);
  });
});
