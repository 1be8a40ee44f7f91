/**
 * Where things stand on the tolerance band, as fractions of its width, 0 at
 * the left. Only geometry: what is within or without is the core's answer.
 */

export interface BandInput {
  nominal: number; // g
  limit: number | null; // g either side; null when none is published
  mean: number; // g
  u: number; // standard uncertainty, g
}

export interface Band {
  nominal: number;
  /** The band between the limits, null without limits. */
  low: number | null;
  high: number | null;
  /** The weight, clamped into the picture. */
  mean: number;
  /** Which way the weight lies outside the picture. */
  off: "low" | "high" | null;
  /** Mean ± u, and mean ± 2u (about 95 %), clamped. */
  u1: readonly [number, number];
  u2: readonly [number, number];
  /** Too narrow for three numbers side by side: one label for both limits. */
  narrow: boolean;
}

/** The picture is never wider than this many limits either side of nominal. */
const widest = 9;
/** Without limits, the picture is this share of the standard mass either side. */
const shareWithoutLimit = 0.06;
/** Room left and right of what must be seen. */
const margin = 1.12;
/** Three labels fit if the limits are at least this far from nominal. */
const roomForLabel = 0.2;

export function bandGeometry({ nominal, limit, mean, u }: BandInput): Band {
  const unit = limit ?? nominal * shareWithoutLimit;
  const wanted = Math.max(unit * 1.5, (Math.abs(mean - nominal) + 2 * u) * margin);
  const half = Math.min(wanted, unit * widest);
  const at = (g: number) => 0.5 + (g - nominal) / (2 * half);
  const clamp = (x: number) => Math.min(1, Math.max(0, x));
  const raw = at(mean);
  const low = limit === null ? null : at(nominal - limit);
  return {
    nominal: 0.5,
    low,
    high: limit === null ? null : at(nominal + limit),
    mean: clamp(raw),
    off: raw < 0 ? "low" : raw > 1 ? "high" : null,
    u1: [clamp(at(mean - u)), clamp(at(mean + u))],
    u2: [clamp(at(mean - 2 * u)), clamp(at(mean + 2 * u))],
    narrow: low !== null && 0.5 - low < roomForLabel,
  };
}
