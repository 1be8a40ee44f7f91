import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { decimalsIn, lackOf, press, steps } from "./digits";

const keys = fc.array(fc.constantFrom(..."0123456789.", "x", "Enter"), { maxLength: 12 });
const step = fc.constantFrom(...steps);

describe("digits typed in any order", () => {
  it("are a weight below a kilogram with no more decimals than the scale shows", () => {
    fc.assert(
      fc.property(keys, step, (pressed, s) => {
        const typed = pressed.reduce((t, k) => press(t, k, s), "");
        expect(typed).toMatch(/^$|^(0|[1-9]\d{0,2})(\.\d{0,4})?$/);
        if (s) expect(decimalsIn(typed)).toBeLessThanOrEqual(decimalsIn(s));
      }),
      { numRuns: 2000 },
    );
  });

  it("only ever grow at their end, so that each can be taken away again", () => {
    fc.assert(
      fc.property(keys, step, (pressed, s) => {
        let typed = "";
        for (const k of pressed) {
          const next = press(typed, k, s);
          if (typed !== "0" || k === ".") expect(next.startsWith(typed)).toBe(true);
          typed = next;
        }
      }),
      { numRuns: 2000 },
    );
  });

  it("are complete exactly where the scale can stop, above zero", () => {
    fc.assert(
      fc.property(keys, step, (pressed, s) => {
        const typed = pressed.reduce((t, k) => press(t, k, s), "");
        const lack = lackOf(typed, s);
        if (!s) return;
        // Whole ten-thousandths of a gram, by another way than the code's.
        const inParts = (x: string) => Math.round(Number(x) * 10_000);
        const stops =
          typed !== "" &&
          decimalsIn(typed) === decimalsIn(s) &&
          inParts(typed) > 0 &&
          inParts(typed) % inParts(s) === 0;
        expect(lack.is === "complete").toBe(stops);
      }),
      { numRuns: 2000 },
    );
  });
});
