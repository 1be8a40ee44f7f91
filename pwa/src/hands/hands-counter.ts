import type { Phase } from "../live/wire";
import type { Shown } from "../weigh/judging";

/** The newest message about the pan, fit to be counted by. */
export interface Seen {
  phase: Phase;
  placement: number;
  mean: number | null;
}

export type CountEvent =
  /** A decisive verdict on a coin that still moves: worth saying, not yet counted. */
  | { is: "heard"; shown: Shown }
  /** early: it was lifted before it rested, and its last verdict was decisive. */
  | { is: "counted"; shown: Shown; early: boolean }
  /** The coin counted last has another verdict now: it was leant on, or is asked about differently. */
  | { is: "amended"; shown: Shown }
  /** Lifted before anything could be said. */
  | { is: "missed" }
  /** Coins that came and went while the line was away. */
  | { is: "unseen"; coins: number };

/**
 * Counts each load once. A load has its number once the laptop is sure of it;
 * before, messages carry the number of the load before it, and a number may be
 * taken back when the load turns out to be a knock. So a coin is counted when
 * its verdict is there at rest, or when it leaves with a decisive one; whether
 * it is lifted or the next one drops on it is all the same. What is taken off a
 * pile weighs less than nothing and is no coin that landed.
 */
export class Counter {
  private base: number;
  private open: { placement: number; best: Shown | null; heard: boolean; off: boolean } | null = null;
  private last: Shown | null = null;

  /** What lies on the pan at the start is not counted: it may have been before. */
  constructor(seen: Seen | null) {
    this.base = seen?.placement ?? -1;
  }

  /** Takes the newest message and the verdict that is on the glass now. */
  step(seen: Seen, shown: Shown | null): CountEvent[] {
    const events: CountEvent[] = [];
    if (this.base < 0 || seen.placement < this.base) {
      // The first message, or a laptop that was started anew and counts from one again.
      this.base = seen.placement;
      this.open = null;
      this.last = null;
      return events;
    }
    if (seen.phase === "withheld") {
      // Nobody can tell its weight: what its last verdict was, if it had one, counts no more.
      this.base = seen.placement;
      this.open = null;
      return events;
    }
    const load = seen.phase === "moving" || seen.phase === "settled";
    if (this.open && seen.placement < this.open.placement) this.open = null; // it was a knock or a hand
    if (load && seen.placement > this.base) {
      if (this.open?.placement !== seen.placement) {
        const missing = seen.placement - (this.open?.placement ?? this.base) - 1;
        this.close(events);
        if (missing > 0) events.push({ is: "unseen", coins: missing });
        this.open = { placement: seen.placement, best: null, heard: false, off: false };
      }
      this.open.off = seen.mean !== null && seen.mean <= 0;
      if (this.open.off && seen.phase === "settled") this.close(events);
    }
    this.judge(shown, events);
    if (seen.phase === "empty") {
      const missing = seen.placement - (this.open?.placement ?? this.base);
      this.close(events);
      if (missing > 0) {
        events.push({ is: "unseen", coins: missing });
        this.base = seen.placement;
      }
    }
    return events;
  }

  private judge(shown: Shown | null, events: CountEvent[]): void {
    if (!shown) return;
    const open = this.open;
    if (open && shown.placement === open.placement) {
      open.best = shown;
      if (shown.settled) {
        this.done(shown);
        events.push({ is: "counted", shown, early: false });
      } else if (shown.verdict.decisive && !open.heard) {
        open.heard = true;
        events.push({ is: "heard", shown });
      }
      return;
    }
    const last = this.last;
    if (last && shown !== last && shown.settled && shown.placement === last.placement) {
      this.last = shown;
      if (shown.asked !== last.asked || shown.verdict.headline !== last.verdict.headline) {
        events.push({ is: "amended", shown });
      }
    }
  }

  /** The open load has gone. */
  private close(events: CountEvent[]): void {
    const open = this.open;
    if (!open) return;
    this.base = open.placement;
    this.open = null;
    if (open.off) return;
    if (open.best?.verdict.decisive) {
      this.done(open.best);
      events.push({ is: "counted", shown: open.best, early: true });
    } else events.push({ is: "missed" });
  }

  private done(shown: Shown): void {
    this.base = shown.placement;
    this.open = null;
    this.last = shown;
  }
}
