import { signal } from "@preact/signals";
import { beforeEach, describe, expect, it } from "vitest";
import type { Method } from "../core/types";
import type { Placement } from "../live/wire";
import { Evidence } from "./evidence";
import { judgeLiftedAgain } from "./evidence-again";
import { askedFor, type Shown } from "./live-verdict";

const coin = (n: number) => n as Placement;
let e: Evidence;
beforeEach(() => {
  e = new Evidence();
  e.load(coin(1));
});

describe("Evidence", () => {
  it("holds for its coin, lifted or not, and goes with the next", () => {
    e.set("magnetic", "no");
    e.load(coin(1));
    e.load(null);
    e.set("edge", "plain");
    expect(e.given.value).toEqual({ magnetic: "no", edge: "plain" });
    // Even under the old number, which a load keeps until it has its own.
    e.load(coin(1));
    expect(e.given.value).toEqual({});
    e.load(coin(2));
    expect(e.before.value).toEqual({ magnetic: "no", edge: "plain" });
    expect(e.canUndo).toBe(false);
  });

  it("is taken over when the same coin comes back", () => {
    e.set("magnetic", "no");
    e.load(null);
    e.load(coin(2));
    e.set("edge", "plain");
    e.sameCoin();
    expect(e.given.value).toEqual({ magnetic: "no", edge: "plain" });
    e.undo();
    expect(e.given.value).toEqual({ edge: "plain" });
  });

  it("isn't forgotten over a coin that nothing was said of", () => {
    e.set("density", "10.32");
    e.load(coin(2));
    e.load(coin(3));
    e.sameCoin();
    expect(e.given.value).toEqual({ density: "10.32" });
  });

  it("isn't offered long after the coin was last seen or told about, nor at another denomination", () => {
    let now = 0;
    e = new Evidence(() => now);
    e.load(coin(1), "quarter");
    e.set("stripe", "yes");
    e.load(null);
    now += 10 * 60_000; // the pan stood empty
    e.load(coin(2), "quarter");
    expect(e.before.value).toEqual({});

    e.set("stripe", "yes");
    e.load(coin(2), "cent"); // the next denomination is tapped while the quarter lies there yet
    e.load(null);
    e.load(coin(3), "cent");
    expect(e.before.value).toEqual({});
  });

  it("answers questions too, by their ids", () => {
    e.set("us-cent-1982-date", "small");
    e.load(coin(1));
    expect(e.given.value).toEqual({ "us-cent-1982-date": "small" });
    e.remove("us-cent-1982-date");
    expect(e.given.value).toEqual({});
    e.set("us-cent-1982-date", "large");
    e.load(coin(2));
    expect([e.given.value, e.before.value]).toEqual([{}, { "us-cent-1982-date": "large" }]);
  });

  it("is offered for a coin that comes back soon and is of the same denomination", () => {
    let now = 0;
    const told = (minutes: number, denomination: string) => {
      e = new Evidence(() => now);
      e.load(coin(1), "quarter");
      e.set("edge", "plain");
      e.load(null);
      e.load(coin(2), "quarter");
      expect(e.before.value).toEqual({ edge: "plain" });
      now += minutes * 60_000;
      e.load(coin(3), denomination);
      return e.before.value;
    };
    expect(told(2, "quarter")).toEqual({ edge: "plain" });
    expect(told(4, "quarter")).toEqual({});
    expect(told(0, "cent")).toEqual({});
    // A tool measured a coin away from the pan, which comes whenever it comes.
    e.putBy({ density: "8.9" });
    now += 9 * 60_000;
    e.load(coin(4), "dime");
    expect(e.before.value).toEqual({ density: "8.9" });
    now += 2 * 60_000;
    e.load(coin(5), "dime");
    expect(e.before.value).toEqual({});
  });

  it("is of the denomination that it was told at last", () => {
    e = new Evidence(() => 0);
    e.load(coin(1), "quarter");
    e.set("edge", "plain");
    e.load(coin(1), "dime");
    e.set("stripe", "yes");
    e.load(coin(2), "dime");
    expect(e.before.value).toEqual({ edge: "plain", stripe: "yes" });
  });

  it("is undone step by step, changes and removals too", () => {
    e.set("colour", "red");
    e.set("colour", "red");
    e.set("colour", "grey");
    e.remove("colour");
    e.remove("colour");
    expect(e.given.value).toEqual({});
    e.undo();
    expect(e.given.value).toEqual({ colour: "grey" });
    e.undo();
    e.undo();
    e.undo();
    expect([e.given.value, e.canUndo]).toEqual([{}, false]);
  });

  it("is put by from a tool", () => {
    e.set("edge", "reeded");
    e.putBy({ density: "10.32" });
    e.load(coin(4));
    e.sameCoin();
    expect(e.given.value).toMatchObject({ density: "10.32" });
  });
});

describe("a lifted coin", () => {
  const verdict = (headline: string) => ({ call: "ordinary", headline });
  const question = {
    country: "US",
    denomination: "cent",
    year: 0,
    mint: "",
    mean_g: 2.8,
    u_g: 0.01,
    resolution_g: 0.01,
  };

  it("is judged again with what was found out, and once", async () => {
    const asked: unknown[] = [];
    const core = {
      call: async (_: Method, q: unknown) => {
        asked.push(q);
        return { ok: verdict(`answer ${asked.length}`) };
      },
    };
    const current = signal<Shown | null>(null);
    const last = signal<Shown | null>(null);
    const stop = judgeLiftedAgain(core as never, e, () => ({ current, last }));
    const shown = {
      verdict: verdict("before"),
      placement: coin(1),
      settled: true,
      asked: askedFor(question),
      question,
    } as unknown as Shown;
    current.value = shown;
    e.set("magnetic", "yes");
    expect(asked).toEqual([]); // on the pan the line itself asks
    current.value = null;
    last.value = shown;
    await Promise.resolve();
    await Promise.resolve();
    expect(asked).toEqual([{ ...question, evidence: { magnetic: "yes" } }]);
    expect(last.value?.verdict.headline).toBe("answer 1");
    e.undo();
    await Promise.resolve();
    await Promise.resolve();
    expect(asked[1]).toEqual(question);
    e.load(coin(2));
    e.set("edge", "plain"); // of another coin
    expect(asked).toHaveLength(2);
    stop();
  });
});
