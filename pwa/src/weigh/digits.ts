/** A weight as a person types it, digit by digit. The digits are kept as they are typed: “3.110” is not “3.11”. */

/** Steps a scale without a cable may have, in grams, as they stand on it; "" takes the last digit typed. */
export const steps = ["", "0.1", "0.05", "0.02", "0.01", "0.005", "0.002", "0.001"] as const;
export type Step = (typeof steps)[number];

/** No coin weighs a kilogram, and no scale for coins shows more decimals. */
const mostWhole = 3;
const mostDecimals = 4;

export const decimalsIn = (typed: string): number => typed.split(".")[1]?.length ?? 0;

/** The digits after one more key, a digit or the point; unchanged when it doesn't fit. */
export function press(typed: string, key: string, step: Step): string {
  if (key === ".") return typed.includes(".") ? typed : `${typed || "0"}.`;
  if (!/^\d$/.test(key)) return typed;
  if (typed.includes(".")) {
    return decimalsIn(typed) < (step ? decimalsIn(step) : mostDecimals) ? typed + key : typed;
  }
  if (typed === "0") return key;
  return typed.length < mostWhole ? typed + key : typed;
}

/** What still keeps the digits from being a weight of this scale. */
export type Lack =
  | { is: "nothing-typed" }
  | { is: "more"; decimals: number } // the scale shows that many more
  | { is: "between"; step: string } // this scale never stops there
  | { is: "zero" }
  | { is: "complete" };

export function lackOf(typed: string, step: Step): Lack {
  if (typed === "") return { is: "nothing-typed" };
  const wanted = step ? decimalsIn(step) : Math.max(1, decimalsIn(typed));
  const given = decimalsIn(typed);
  if (given < wanted && (step || typed.endsWith("."))) return { is: "more", decimals: wanted - given };
  if (Number(typed) === 0) return { is: "zero" };
  if (step) {
    // Whole numbers of the last decimal, so that nothing is rounded.
    const last = (s: string) => Number(s.replace(".", ""));
    if (last(typed) % last(step) !== 0) return { is: "between", step };
  }
  return { is: "complete" };
}
