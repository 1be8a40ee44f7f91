import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { ageOf, type Clock, isStale, type Moment, type Received, shownSeconds } from "../live/age";
import type { Connection } from "../live/socket";
import type { Grams, Phase, Placement, Problem, ScaleInfo, UnitAsk, WeightMessage } from "../live/wire";

/** Past this age even a greyed number is taken off the glass. In ms. */
export const forgetAfterMs = 10_000;

/** The chance that a mean isn’t the whole load, and its u if it is. */
export interface Half {
  chance: number;
  uWhole: Grams;
}

/** What the glass says of the weight at this moment. */
export type Reading =
  | { is: "nothing" } // no message yet
  | { is: "problem"; problem: Problem; ask: UnitAsk | null; scale: ScaleInfo | null }
  | { is: "gone"; seconds: number; scale: ScaleInfo | null } // so old that no number is shown
  | {
      is: "weight";
      phase: Phase;
      shown: string | null;
      unit: string;
      /** The scale’s own sign: stable, moving and others. */
      status: string;
      /** Fit to be judged: a load, a mean and its u; half, if it may be only half put down. */
      load: {
        mean: Grams;
        u: Grams;
        half?: Half;
        resolution: Grams;
        placement: Placement;
      } | null;
      resolution: Grams | null;
      /** The load that a camera read and that waits for a person’s tap; null if nothing does. */
      unconfirmed: { placement: Placement; shown: string } | null;
      seconds: number;
      stale: boolean;
      scale: ScaleInfo | null;
    };

/** The newest message with its age, worked out again at each tick. */
export class LiveReading {
  readonly received: Signal<Received | null> = signal(null);
  readonly connection: Signal<Connection> = signal("off");
  readonly now: Signal<Moment>;
  readonly reading: ReadonlySignal<Reading>;
  private clock: Clock;

  constructor(clock: Clock) {
    this.clock = clock;
    this.now = signal(clock.now());
    // The clock is read anew whenever a message comes in, so that its age never
    // depends on when the last tick was.
    this.reading = computed(() => {
      void this.now.value;
      return readingOf(this.received.value, clock.now());
    });
  }

  take(received: Received): void {
    this.received.value = received;
  }

  tick(): void {
    this.now.value = this.clock.now();
  }
}

export function readingOf(received: Received | null, now: Moment): Reading {
  if (!received) return { is: "nothing" };
  const m = received.message;
  const age = ageOf(received, now);
  const seconds = shownSeconds(age);
  if (age > forgetAfterMs) return { is: "gone", seconds, scale: m.scale };
  if (m.problem) return { is: "problem", problem: m.problem, ask: m.ask ?? null, scale: m.scale };
  const stale = isStale(age);
  const hasLoad = m.phase === "moving" || m.phase === "settled";
  const load =
    hasLoad && !stale && m.mean_g !== null && m.mean_g > 0 && m.u_g !== null && m.resolution_g !== null
      ? { mean: m.mean_g, u: m.u_g, ...halfOf(m), resolution: m.resolution_g, placement: m.placement }
      : null;
  const hasNumber = hasLoad || m.phase === "empty" || m.phase === "withheld";
  return {
    is: "weight",
    phase: m.phase,
    shown: hasNumber ? m.shown : null,
    unit: m.unit ?? "g",
    status: m.status,
    load,
    resolution: m.resolution_g,
    unconfirmed:
      m.unconfirmed && m.phase === "settled" && !stale && m.shown !== null
        ? { placement: m.placement, shown: m.shown }
        : null,
    seconds,
    stale,
    scale: m.scale,
  };
}

const halfOf = (m: WeightMessage): { half?: Half } =>
  m.half !== undefined && m.u_whole_g !== undefined ? { half: { chance: m.half, uWhole: m.u_whole_g } } : {};
