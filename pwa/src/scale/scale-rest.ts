import type { Reading } from "../weigh/reading";

/** How long a display must show the same to be read. In ms. */
export const restsForMs = 1500;

/** Two values that take turns are read after this long; either is as good. In ms. */
export const readAnywayMs = 7500;

/** A display at rest. */
export interface Rest {
  phase: "empty" | "settled";
  shown: string;
  unit: string;
  /** The scale's step in grams, if it is known. */
  resolution: number | null;
  scale: { name: string; dialect: string };
}

/** Notices when the display has come to rest, so that nobody has to press a key with a weight in hand. */
export class RestWatch {
  private key = "";
  private phase = "";
  private since = 0;
  private phaseSince = 0;

  /** Takes the newest reading; null while it isn't at rest. now in ms, of a steady clock. */
  offer(r: Reading, now: number): Rest | null {
    const phase = r.is === "weight" && !r.stale ? r.phase : "none";
    if (r.is !== "weight" || r.shown === null || (phase !== "empty" && phase !== "settled")) {
      this.reset();
      return null;
    }
    const key = `${phase} ${r.shown} ${r.unit}`;
    if (phase !== this.phase) this.phaseSince = now;
    if (key !== this.key) this.since = now;
    this.phase = phase;
    this.key = key;
    if (now - this.since < restsForMs && now - this.phaseSince < readAnywayMs) return null;
    return {
      phase,
      shown: r.shown,
      unit: r.unit,
      resolution: r.resolution,
      scale: { name: r.scale?.name ?? "", dialect: r.scale?.dialect ?? "" },
    };
  }

  reset(): void {
    this.key = "";
    this.phase = "";
  }
}
