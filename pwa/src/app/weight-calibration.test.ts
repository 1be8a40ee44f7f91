import { describe, expect, it } from "vitest";
import { readKeptCheck } from "../core/scale-check";
import { weightCalibration } from "./weight-calibration";

const answer = {
  scale: { name: "Kitchen scale", format: "print-line" },
  check: {
    id: 3,
    taken: "2026-03-01T18:00:00Z",
    record: {},
    result: {
      assumed: false,
      repeatability: { measured: true, in_u_g: 0.004 },
      calibration: { measured: true, linearity_g: 0.002, points: [] },
      drift: { measured: true, in_u_g: 0.001 },
      by_load: [{ load_g: 5, u_g: 0.005, u_unchecked_g: 0.02, correction_g: 0 }],
    },
  },
};

describe("the errors kept with a weight", () => {
  it("are those of the scale's kept check", () => {
    expect(weightCalibration(readKeptCheck(answer), "Kitchen scale")).toEqual({
      at: Date.UTC(2026, 2, 1, 18),
      repeatability_g: 0.004,
      calibration_g: 0.002,
      drift_g: 0.001,
      assumed: false,
    });
  });

  it("are none for another scale, or without a check", () => {
    expect(weightCalibration(readKeptCheck(answer), "Other scale")).toBeNull();
    expect(weightCalibration(readKeptCheck({ scale: answer.scale }), "Kitchen scale")).toBeNull();
    expect(weightCalibration(null, "Kitchen scale")).toBeNull();
  });

  it("are none where the check found no repeatability", () => {
    const { repeatability: _, ...rest } = answer.check.result;
    const read = readKeptCheck({ ...answer, check: { ...answer.check, result: rest } });
    expect(weightCalibration(read, "Kitchen scale")).toBeNull();
  });
});
