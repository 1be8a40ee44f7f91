import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Clock, Moment, Received } from "./age";
import { parseServerMessage, type WeightMessage } from "./wire";

/** For tests: the example message of testdata/wire, with some fields changed. */
export function weightMessage(change: Record<string, unknown> = {}): WeightMessage {
  const raw = readFileSync(join(import.meta.dirname, "../../../testdata/wire/weight.json"), "utf8");
  const m = parseServerMessage(JSON.stringify({ ...JSON.parse(raw), ...change }));
  if (m?.type !== "weight") throw new Error("the changed example is no weight message");
  return m;
}

export const received = (at: Moment, change: Record<string, unknown> = {}): Received => ({
  message: weightMessage(change),
  at,
});

/** For tests: two clocks that move only when told. */
export class HandClock implements Clock {
  moment: Moment = { steady: 1000, wall: 1_700_000_000_000 };
  now(): Moment {
    return { ...this.moment };
  }
  pass(ms: number): void {
    this.moment = { steady: this.moment.steady + ms, wall: this.moment.wall + ms };
  }
}
