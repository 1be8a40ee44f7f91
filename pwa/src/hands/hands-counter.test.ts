import { beforeEach, describe, expect, it } from "vitest";
import type { Phase, Placement } from "../live/wire";
import type { Shown } from "../weigh/judging";
import { type CountEvent, Counter, type Seen } from "./hands-counter";

const verdict = { call: "ordinary", headline: "Bronze cent.", decisive: true } as Shown["verdict"];

function shown(placement: number, change: Partial<Shown> = {}, of: Partial<Shown["verdict"]> = {}): Shown {
  const s = {
    verdict: { ...verdict, ...of },
    placement: placement as Placement,
    settled: true,
    asked: "US/cent",
  };
  return { ...s, question: {} as Shown["question"], ...change };
}

let counter: Counter;
let events: string[];

const see = (phase: Phase, placement: number, on: Shown | null = null, mean: number | null = 3.11) => {
  const seen: Seen = { phase, placement, mean: phase === "empty" ? null : mean };
  events.push(...counter.step(seen, on).map(name));
};

function name(e: CountEvent): string {
  switch (e.is) {
    case "counted":
      return `counted ${e.shown.placement}${e.early ? " early" : ""}`;
    case "heard":
    case "amended":
      return `${e.is} ${e.shown.placement}`;
    case "unseen":
      return `unseen ${e.coins}`;
    case "missed":
      return "missed";
  }
}

beforeEach(() => {
  counter = new Counter({ phase: "empty", placement: 6, mean: null });
  events = [];
});

describe("Counter", () => {
  it("counts a coin that is put and lifted once, however often its verdict is seen", () => {
    see("moving", 6); // not numbered yet
    see("moving", 7, shown(7, { settled: false }));
    see("settled", 7, shown(7));
    for (let i = 0; i < 5; i++) see("settled", 7, shown(7));
    see("moving", 7); // a hand takes it
    see("empty", 7);
    see("empty", 7);
    expect(events).toEqual(["heard 7", "counted 7"]);
  });

  it("counts each coin dropped into a cup", () => {
    for (let n = 7; n < 12; n++) {
      see("moving", n - 1);
      see("moving", n);
      see("settled", n, shown(n));
    }
    expect(events).toEqual(["counted 7", "counted 8", "counted 9", "counted 10", "counted 11"]);
  });

  it("counts a coin that never rested by its last decisive verdict, whether it is lifted or covered", () => {
    see("moving", 7, shown(7, { settled: false }));
    see("empty", 7);
    see("moving", 8, shown(8, { settled: false }));
    see("moving", 9);
    see("settled", 9, shown(9));
    expect(events).toEqual(["heard 7", "counted 7 early", "heard 8", "counted 8 early", "counted 9"]);
  });

  it("says so when a coin went before anything could be said", () => {
    see("moving", 7);
    see("moving", 7, shown(7, { settled: false }, { decisive: false }));
    see("empty", 7);
    expect(events).toEqual(["missed"]);
  });

  it("forgets a number that is taken back, and takes it again", () => {
    see("moving", 7, shown(7, { settled: false }));
    see("empty", 6); // it was a hand
    see("moving", 7, shown(7, { settled: false }));
    see("settled", 7, shown(7));
    expect(events).toEqual(["heard 7", "heard 7", "counted 7"]);
  });

  it("tells of coins that came and went while the line was away", () => {
    see("settled", 7, shown(7));
    see("settled", 10, shown(10)); // 8 and 9 went by
    see("empty", 11); // and 11
    see("settled", 12, shown(12));
    expect(events).toEqual(["counted 7", "unseen 2", "counted 10", "unseen 1", "counted 12"]);
  });

  it("counts nothing that lay there at the start", () => {
    counter = new Counter({ phase: "settled", placement: 7, mean: 3.11 });
    see("settled", 7, shown(7));
    see("empty", 7);
    see("settled", 8, shown(8));
    expect(events).toEqual(["counted 8"]);
  });

  it("takes its first message for the start when there was none before", () => {
    counter = new Counter(null);
    see("settled", 4, shown(4));
    see("settled", 5, shown(5));
    expect(events).toEqual(["counted 5"]);
  });

  it("begins anew when the laptop was started anew and counts from one again", () => {
    see("settled", 7, shown(7));
    see("settled", 1, shown(1)); // perhaps the same coin: not counted
    see("empty", 1);
    see("settled", 2, shown(2));
    expect(events).toEqual(["counted 7", "counted 2"]);
  });

  it("counts nothing that is taken off a pile", () => {
    see("settled", 7, shown(7));
    see("moving", 8, null, -1.2);
    see("settled", 8, null, -3.11);
    see("settled", 9, shown(9));
    expect(events).toEqual(["counted 7", "counted 9"]);
  });

  it("amends the coin counted last when its verdict changes, and no other", () => {
    see("settled", 7, shown(7));
    see("settled", 7, shown(7, {}, { headline: "Zinc cent." }));
    see("settled", 7, shown(7, { asked: "US/dime" }, { headline: "Zinc cent." }));
    see("settled", 7, shown(7, { settled: false }, { headline: "Weighing." }));
    expect(events).toEqual(["counted 7", "amended 7", "amended 7"]);
  });

  it("is not misled by a verdict that comes late, on a coin that has gone", () => {
    see("settled", 7);
    see("empty", 7);
    see("empty", 7, shown(7));
    see("settled", 8, shown(7));
    see("settled", 8, shown(8));
    expect(events).toEqual(["missed", "counted 8"]);
  });
});
