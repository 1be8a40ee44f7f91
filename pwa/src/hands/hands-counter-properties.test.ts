import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Phase, Placement } from "../live/wire";
import type { Shown } from "../weigh/live-verdict";
import { type CountEvent, Counter } from "./hands-counter";

const shown = (placement: number, settled: boolean, decisive: boolean): Shown => ({
  verdict: { call: "ordinary", headline: "Bronze cent.", decisive } as Shown["verdict"],
  placement: placement as Placement,
  settled,
  asked: "US/cent",
  question: {} as Shown["question"],
});

const first = 6;
const counter = () => new Counter({ phase: "empty", placement: first, mean: null });
const counted = (events: CountEvent[]) =>
  events.flatMap((e) => (e.is === "counted" ? [e.shown.placement] : []));

/** A coin as the laptop tells of it: so many messages in motion and at rest, and whether it is lifted before the next. */
const coin = fc.record({
  moving: fc.integer({ min: 1, max: 4 }),
  atRest: fc.integer({ min: 0, max: 3 }),
  /** From which message in motion on a verdict is there; past the last for none. */
  verdictFrom: fc.integer({ min: 0, max: 5 }),
  decisive: fc.boolean(),
  lifted: fc.boolean(),
});

describe("counting hands-free", () => {
  it("tells of every coin once: counted if it could be judged, missed if it couldn’t", () => {
    fc.assert(
      fc.property(fc.array(coin, { maxLength: 20 }), (coins) => {
        const c = counter();
        const events: CountEvent[] = [];
        const see = (phase: Phase, placement: number, on: Shown | null) =>
          events.push(...c.step({ phase, placement, mean: phase === "empty" ? null : 3.11 }, on));
        const expected = coins.map((k, i) => {
          const n = first + 1 + i;
          for (let m = 0; m < k.moving; m++)
            see("moving", n, m < k.verdictFrom ? null : shown(n, false, k.decisive));
          for (let m = 0; m < k.atRest; m++) see("settled", n, shown(n, true, k.decisive));
          if (k.lifted || i === coins.length - 1) see("empty", n, null);
          if (k.atRest > 0) return `counted ${n}`;
          return k.decisive && k.verdictFrom < k.moving ? `counted early ${n}` : "missed";
        });
        const told = events.flatMap((e) =>
          e.is === "counted"
            ? [`counted${e.early ? " early" : ""} ${e.shown.placement}`]
            : e.is === "missed" || e.is === "unseen"
              ? [e.is]
              : [],
        );
        expect(told).toEqual(expected);
      }),
    );
  });

  it("counts no coin twice, and no more than came, whatever messages are lost", () => {
    const message = fc.record({
      on: fc.constantFrom(0, 0, 0, 1, 2, 5),
      phase: fc.constantFrom<Phase>("empty", "moving", "settled", "withheld", "over"),
      verdict: fc.constantFrom("none", "of this", "of the one before"),
      settled: fc.boolean(),
      decisive: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(message, { maxLength: 60 }), (messages) => {
        const c = counter();
        const events: CountEvent[] = [];
        let placement = first;
        for (const m of messages) {
          placement += m.on;
          const of = m.verdict === "of this" ? placement : placement - 1;
          const verdict = m.verdict === "none" ? null : shown(of, m.settled, m.decisive);
          events.push(...c.step({ phase: m.phase, placement, mean: 3.11 }, verdict));
        }
        const once = counted(events);
        expect(new Set(once).size).toBe(once.length);
        expect(once.every((n) => n > first && n <= placement)).toBe(true);
        const told = events.reduce(
          (sum, e) => sum + (e.is === "unseen" ? e.coins : e.is === "counted" || e.is === "missed" ? 1 : 0),
          0,
        );
        expect(told).toBeLessThanOrEqual(placement - first);
      }),
    );
  });
});
