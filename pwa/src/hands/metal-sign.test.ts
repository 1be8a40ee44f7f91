import { expect, it } from "vitest";
import { metalSign } from "./metal-sign";

it.each([
  [{ Cu: 0.95, Sn: 0.04, Zn: 0.01 }, "Cu"],
  [{ Zn: 0.975, Cu: 0.025 }, "Zn"],
  [{ Cu: 0.9167, Ni: 0.0833 }, "CuNi"],
  [{ Ag: 0.9, Cu: 0.1 }, "Ag 90"],
  [{ Cu: 0.56, Ag: 0.35, Mn: 0.09 }, "Ag 35"],
  [{ Cu: 0.6, Ag: 0.4 }, "Ag 40"],
  [{}, ""],
])("writes %o as “%s”", (fractions: Record<string, number>, sign) => {
  expect(metalSign(fractions)).toBe(sign);
});
