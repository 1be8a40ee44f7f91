import type { WeightOf } from "../core/journal";
import type { KeptCheck } from "../core/scale-check";

/**
 * What the kept check says of a scale's errors, as it is kept with a weight from
 * it; null for another scale, and for one that was never checked.
 */
export function weightCalibration(kept: KeptCheck | null, scale: string): WeightOf["calibration"] | null {
  const check = kept?.check;
  const errors = check?.result.errors;
  if (!check || !errors || kept.scale?.name !== scale) return null;
  return {
    at: Date.parse(check.taken) || 0,
    repeatability_g: errors.repeatability,
    calibration_g: errors.linearity,
    drift_g: errors.drift,
    assumed: check.result.assumed,
  };
}
