import { describe, expect, it } from "vitest";
import { HandClock, received } from "../live/fixture";
import { forgetAfterMs, LiveReading, readingOf } from "./reading";

const clock = new HandClock();
const at = (ageMs: number, change: Record<string, unknown> = {}) =>
  readingOf(received(clock.now(), { age_ms: ageMs, ...change }), clock.now());

describe("readingOf", () => {
  it("is nothing before the first message", () => {
    expect(readingOf(null, clock.now())).toEqual({ is: "nothing" });
  });

  it("shows the scale's own digits, and a load to judge", () => {
    expect(at(12)).toMatchObject({
      is: "weight",
      shown: "3.11",
      unit: "g",
      stale: false,
      seconds: 0,
      load: { mean: 3.1102, u: 0.0076, resolution: 0.01, placement: 17 },
    });
  });

  it("says of a load that may be half put down how sure it is if it isn't", () => {
    const held = { phase: "moving", u_g: 0.7, half: 0.014, u_whole_g: 0.0093 };
    expect(at(12, held)).toMatchObject({ load: { u: 0.7, half: { chance: 0.014, uWhole: 0.0093 } } });
    expect(at(12)).not.toHaveProperty("load.half");
  });

  it("of a camera, unconfirmed, shows digits and has nothing to judge", () => {
    const half = { mean_g: null, u_g: null, unconfirmed: true, shown: "11.50" };
    expect(at(12, half)).toMatchObject({
      shown: "11.50",
      load: null,
      unconfirmed: { placement: 17, shown: "11.50" },
    });
    expect(at(12, { ...half, phase: "moving" })).toMatchObject({ unconfirmed: null });
    expect(at(1001, half)).toMatchObject({ unconfirmed: null });
    expect(at(12)).toMatchObject({ unconfirmed: null });
  });

  it("past a second is stale, and has nothing to judge", () => {
    expect(at(1000)).toMatchObject({ stale: false });
    expect(at(1001)).toMatchObject({ is: "weight", shown: "3.11", stale: true, load: null });
  });

  it("past ten seconds shows no number at all", () => {
    expect(at(forgetAfterMs)).toMatchObject({ is: "weight" });
    expect(at(forgetAfterMs + 1)).toMatchObject({ is: "gone", seconds: 10 });
  });

  it("with a problem shows no number, whatever the message holds besides", () => {
    const problem = { code: "garbled", sentence: "Broken lines." };
    const r = at(0, { problem });
    expect(r).toMatchObject({ is: "problem", problem });
    expect(r).not.toHaveProperty("shown");
  });

  it.each(["none", "over", "under"])("shows no digits in phase %s", (phase) => {
    expect(at(0, { phase })).toMatchObject({ shown: null, load: null });
  });

  it("shows the display's digits of a load whose weight can't be told, but nothing to judge", () => {
    expect(at(0, { phase: "withheld", mean_g: null, u_g: null })).toMatchObject({
      phase: "withheld",
      shown: "3.11",
      load: null,
    });
    expect(at(0, { phase: "withheld" })).toMatchObject({ load: null });
  });

  it("hands on what only the person can say", () => {
    const problem = { code: "unknown-unit", sentence: "Which unit?" };
    const ask = { of: "unit", digits: "3.11", units: ["g", "ct"] };
    expect(at(0, { problem, ask })).toMatchObject({ is: "problem", ask });
    expect(at(0, { problem })).toMatchObject({ ask: null });
  });

  it("shows an empty pan's digits, but nothing to judge", () => {
    expect(at(0, { phase: "empty", shown: "0.00", mean_g: null, u_g: null })).toMatchObject({
      shown: "0.00",
      load: null,
    });
  });

  it.each(["mean_g", "u_g", "resolution_g"])("without %s there is nothing to judge", (field) => {
    expect(at(0, { [field]: null })).toMatchObject({ is: "weight", load: null });
  });
});

describe("LiveReading", () => {
  it("grows old with the ticks", () => {
    const hand = new HandClock();
    const live = new LiveReading(hand);
    live.take(received(hand.now(), { age_ms: 0 }));
    expect(live.reading.value).toMatchObject({ stale: false });
    hand.pass(1500);
    live.tick();
    expect(live.reading.value).toMatchObject({ stale: true, seconds: 1 });
  });
});
