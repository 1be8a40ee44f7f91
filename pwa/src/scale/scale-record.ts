import { fields, list, number, oneOf, words } from "../core/json";
import { plainNumber } from "../core/plain-number";

/** A check under way as the core's “scale-guide” leads it, and how the screens see it. */

/** A check weight as typed. Without class and value it is some object. */
export interface KitWeight {
  nominal: string;
  class: string;
  /** From a certificate: value and expanded uncertainty (k = 2) in grams. */
  value: string;
  expanded: string;
}

export interface Placed {
  weight: number;
  shown: string;
  zero: string;
}

export const stages = ["kit", "middle", "further", "edges", "alone", "result"] as const;
export type Stage = (typeof stages)[number];

/** What outlives a reload, read from what the core hands out. */
export interface Draft {
  at: Stage;
  weights: KitWeight[];
  times: number;
  /** Of the first live reading; null before, and for typed ones. */
  scale: { name: string; format: string } | null;
  readings: Placed[];
  offCentre: Placed[];
  /** How long the scale was left alone, in seconds. */
  watched: number;
  temperature: string;
  place: string;
}

export const edges = ["front", "right", "back", "left"] as const;
export type Edge = (typeof edges)[number];

export const asks = ["name", "empty", "put", "lift", "leave", "watch", "choose", "look"] as const;

/** What the person is asked to do. */
export interface Ask {
  do: (typeof asks)[number];
  weight: number;
  /** Null: the middle of the pan. */
  edge: Edge | null;
  nth: number;
  of: number;
  /** Of the time that the scale is left alone, in seconds. */
  left: number;
}

const saids = ["taken", "refused", "unit", "step", "scale", "withheld", "disturbed"] as const;

/** What was made of the last display. */
export interface Said {
  is: (typeof saids)[number];
  shown: string;
  unit: string;
  /** Why it was refused; empty where nobody could answer. */
  sentence: string;
}

export const nominals = ["1", "2", "5", "10", "20", "50", "100", "200"] as const;
export const classes = ["M1", "F2", "F1", "E2"] as const;

export const countOf = (placed: Placed[], weight: number): number =>
  placed.filter((r) => r.weight === weight).length;

/** A weight of the form as the core takes it. */
export const sheetWeight = (w: KitWeight) => ({
  ...(w.nominal ? { nominal_g: plainNumber(w.nominal) } : {}),
  ...(w.class ? { class: w.class } : {}),
  ...(w.value.trim() ? { value_g: plainNumber(w.value), expanded_g: plainNumber(w.expanded) } : {}),
});

function readWeight(x: unknown): KitWeight {
  const w = fields(x);
  return {
    nominal: words(w.nominal_g),
    class: words(w.class),
    value: words(w.value_g),
    expanded: words(w.expanded_g),
  };
}

function readPlaced(x: unknown): Placed {
  const p = fields(x);
  return { weight: Number(words(p.weight)), shown: words(p.shown), zero: words(p.zero) };
}

export function readDraft(x: unknown): Draft {
  const d = fields(x);
  const scale = fields(d.scale);
  return {
    at: oneOf(stages, d.at) ?? "kit",
    weights: list(d.weights).map(readWeight),
    times: number(d.times) ?? 5,
    scale: words(scale.name) ? { name: words(scale.name), format: words(scale.format) } : null,
    readings: list(d.readings).map(readPlaced),
    offCentre: list(d.off_centre).map(readPlaced),
    watched: Number(fields(list(d.untouched).at(-1)).after_s ?? 0),
    temperature: words(d.temperature_c),
    place: words(d.place),
  };
}

export function readAsk(x: unknown): Ask | null {
  const a = fields(x);
  const what = oneOf(asks, a.do);
  if (!what) return null;
  return {
    do: what,
    weight: number(a.weight) ?? 0,
    edge: oneOf(edges, a.edge) ?? null,
    nth: number(a.nth) ?? 0,
    of: number(a.of) ?? 0,
    left: number(a.left_s) ?? 0,
  };
}

export function readSaid(x: unknown): Said | null {
  const s = fields(x);
  const is = oneOf(saids, s.is);
  return is ? { is, shown: words(s.shown), unit: words(s.unit), sentence: words(s.sentence) } : null;
}

/**
 * Reads a kept draft. Until the core led the check, the phone kept it under names of
 * its own; such a one is written in the core’s.
 */
export function keptDraft(x: unknown): unknown {
  const d = fields(x);
  if (!Array.isArray(d.offCentre)) return x;
  const number = (list: unknown) =>
    Array.isArray(list) ? list.map((r) => ({ ...fields(r), weight: String(fields(r).weight) })) : [];
  return {
    at: d.at,
    times: d.times,
    scale: { name: words(fields(d.scale).name), format: words(fields(d.scale).dialect) },
    unit: d.unit,
    resolution: d.resolution,
    weights: list(d.weights).map((w) => {
      const { nominal, class: oiml, value, expanded } = fields(w);
      return sheetWeight({
        nominal: words(nominal),
        class: words(oiml),
        value: words(value),
        expanded: words(expanded),
      });
    }),
    readings: number(d.readings),
    off_centre: number(d.offCentre),
    untouched: d.untouched,
    temperature_c: plainNumber(words(d.temperature)),
    place: words(d.place).trim(),
  };
}
