import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Verdict } from "../core/types";
import { parseServerMessage, type WeightMessage } from "../live/wire";
import { HeldCoin } from "./finds-held";
import type { Shown } from "./judging";

const example = parseServerMessage(
  readFileSync(join(import.meta.dirname, "../../../testdata/wire/weight.json"), "utf8"),
) as WeightMessage;

const at = { steady: 0, wall: 0 };
const message = (over: Partial<Record<keyof WeightMessage, unknown>>) =>
  ({ message: { ...example, problem: null, ...over } as WeightMessage, at }) as const;

const shown = (placement: number, settled = true): Shown =>
  ({
    verdict: { call: "ordinary", headline: "Bronze." } as Verdict,
    placement,
    settled,
    asked: "",
    question: {
      country: "US",
      denomination: "cent",
      year: 1969,
      mint: "",
      mean_g: 3.11,
      u_g: 0.005,
      resolution_g: 0.01,
    },
  }) as unknown as Shown;

describe("HeldCoin", () => {
  it("holds the settled weight in the scale's own digits, with the readings that led to it", () => {
    let now = 1_000_000;
    const h = new HeldCoin(() => now);
    for (const [phase, digits] of [
      ["moving", "2.90"],
      ["moving", "3.10"],
      ["settled", "3.11"],
    ] as const) {
      h.weight(message({ phase, placement: 4, shown: digits, status: "stable", age_ms: 0 }));
      now += 100;
    }
    h.verdict(shown(4));
    const held = h.held.value;
    expect(held?.weight).toMatchObject({ value: "3.11", unit: "g", mean_g: example.mean_g, at: 1_000_200 });
    expect(held?.trace).toMatchObject({
      from: 1_000_000,
      after: [0, 100, 200],
      shown: ["2.90", "3.10", "3.11"],
    });
    expect(held?.coin).toEqual({ country: "US", denomination: "cent", year: 1969 });
    expect(held?.verdict?.headline).toBe("Bronze.");
  });

  it("holds nothing while a load lies there whose weight can't be told", () => {
    const h = new HeldCoin(() => 0);
    h.weight(message({ phase: "settled", placement: 1, shown: "3.11" }));
    h.weight(message({ phase: "withheld", placement: 2, shown: "3.18", mean_g: null, u_g: null }));
    expect(h.held.value).toBeNull();
  });

  it("goes on holding a coin that was lifted, until the next has come to rest", () => {
    const h = new HeldCoin(() => 0);
    h.weight(message({ phase: "settled", placement: 1, shown: "3.11" }));
    h.weight(message({ phase: "empty", placement: 1, shown: "0.00" }));
    h.weight(message({ phase: "moving", placement: 2, shown: "2.40" }));
    expect(h.held.value?.weight.value).toBe("3.11");
    expect(h.held.value?.trace?.shown).toEqual(["3.11"]);
    h.weight(message({ phase: "settled", placement: 2, shown: "2.50" }));
    expect(h.held.value?.weight.value).toBe("2.50");
    expect(h.held.value?.verdict).toBeNull();
  });

  it("takes no verdict of another coin, and none that may still change", () => {
    const h = new HeldCoin(() => 0);
    h.weight(message({ phase: "settled", placement: 2, shown: "2.50" }));
    h.verdict(shown(1));
    h.verdict(shown(2, false));
    expect(h.held.value?.verdict).toBeNull();
  });

  it("never holds what isn't a weight", () => {
    const h = new HeldCoin(() => 0);
    for (const over of [
      { phase: "settled", shown: null },
      { phase: "settled", mean_g: null },
      { phase: "settled", problem: { code: "port-lost", sentence: "" } },
      { phase: "over" },
      { phase: "empty" },
    ]) {
      h.weight(message({ placement: 9, ...over }));
    }
    expect(h.held.value).toBeNull();
  });

  it("lets go of typed digits that are no weight any more, and goes on holding the coin before", () => {
    const h = new HeldCoin(() => 0);
    const [first, second] = [shown(-1), shown(-2)];
    h.typed(first, "3.11", first.placement);
    expect(h.held.value?.label).toBe("3.11\u00a0g");
    h.typed(null, "3.", first.placement);
    expect(h.held.value).toBeNull();
    h.typed(first, "3.11", first.placement);
    h.typed(null, "", second.placement);
    h.typed(null, "2.", second.placement);
    expect(h.held.value?.weight.value).toBe("3.11");
  });

  it("keeps at most some minutes of readings", () => {
    const h = new HeldCoin(() => 0);
    for (let i = 0; i < 5000; i++) h.weight(message({ phase: "settled", placement: 3, shown: "3.11" }));
    expect(h.held.value?.trace?.shown.length).toBe(600);
  });
});
