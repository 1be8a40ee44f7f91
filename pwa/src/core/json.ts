/**
 * Readers of JSON from elsewhere: an answer of the core or the laptop, a message
 * of the live stream, something kept on an earlier visit. What isn't of the
 * wanted kind becomes an empty one, so that no reader throws.
 */

export type Fields = Record<string, unknown>;

export const isFields = (x: unknown): x is Fields => typeof x === "object" && x !== null && !Array.isArray(x);
/** A finite number; JSON has no others, but what is kept here may be anything. */
export const isNumber = (x: unknown): x is number => typeof x === "number" && Number.isFinite(x);
/** A whole number from 0. */
export const isCount = (x: unknown): x is number => isNumber(x) && Number.isInteger(x) && x >= 0;

export const fields = (x: unknown): Fields => (isFields(x) ? x : {});
export const list = (x: unknown): unknown[] => (Array.isArray(x) ? x : []);
export const words = (x: unknown): string => (typeof x === "string" ? x : "");
export const number = (x: unknown): number | null => (isNumber(x) ? x : null);
/** The strings of a list; what else stands in it is left out. */
export const strings = (x: unknown): string[] => list(x).filter((w): w is string => typeof w === "string");
/** One of a few words; undefined for any other. */
export const oneOf = <T extends string>(all: readonly T[], x: unknown): T | undefined =>
  all.find((w) => w === x);
