import { plainNumber } from "../screens/tools/questions";

/** What was done and seen at a check of the scale, and the question to the core that it makes. */

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

export interface Moment {
  after_s: number;
  shown: string;
}

/** A check under way; it outlives a reload. */
export interface Draft {
  at: "kit" | "middle" | "further" | "edges" | "alone" | "result";
  weights: KitWeight[];
  times: number;
  /** Of the first reading; the others must agree. */
  unit: string;
  resolution: string;
  scale: { name: string; dialect: string } | null;
  readings: Placed[];
  offCentre: Placed[];
  untouched: Moment[];
  temperature: string;
  place: string;
}

export const nominals = ["1", "2", "5", "10", "20", "50", "100", "200"] as const;
export const classes = ["M1", "F2", "F1", "E2"] as const;
export const edges = ["front", "right", "back", "left"] as const;

/** An untouched scale is read this often, and watched this long. In seconds. */
export const aloneEveryS = 10;
export const aloneForS = 180;

export const freshDraft = (): Draft => ({
  at: "kit",
  weights: [],
  times: 5,
  unit: "",
  resolution: "",
  scale: null,
  readings: [],
  offCentre: [],
  untouched: [],
  temperature: "",
  place: "",
});

function weightIn(w: KitWeight) {
  return {
    ...(w.nominal ? { nominal_g: plainNumber(w.nominal) } : {}),
    ...(w.class ? { class: w.class } : {}),
    ...(w.value.trim() ? { value_g: plainNumber(w.value), expanded_g: plainNumber(w.expanded) } : {}),
  };
}

/** The question whether a weight can be what it is said to be, before anybody weighs. */
export const weightQuestion = (w: KitWeight) => ({ weights: [weightIn(w)], readings: [{ shown: "0" }] });

/** The question to the core: only weights that were weighed, numbered anew. */
export function checkQuestion(d: Draft) {
  const weighed = d.weights.map((_, i) => i).filter((i) => d.readings.some((r) => r.weight === i));
  const renumbered = (list: Placed[]) => list.map((r) => ({ ...r, weight: weighed.indexOf(r.weight) }));
  return {
    ...(d.unit ? { unit: d.unit } : {}),
    ...(d.resolution ? { resolution: d.resolution } : {}),
    weights: weighed.map((i) => weightIn(d.weights[i] as KitWeight)),
    readings: renumbered(d.readings),
    ...(d.offCentre.length ? { off_centre: renumbered(d.offCentre) } : {}),
    ...(d.untouched.length > 1 ? { untouched: d.untouched } : {}),
    ...(d.temperature.trim() ? { temperature_c: plainNumber(d.temperature) } : {}),
    ...(d.place.trim() ? { place: d.place.trim() } : {}),
  };
}

export const countOf = (list: Placed[], weight: number): number =>
  list.filter((r) => r.weight === weight).length;

/** Which weight comes next, and where to; null when this part is through. */
export function nextPlacement(d: Draft): { weight: number; nth: number; edge: number | null } | null {
  if (d.at === "middle") {
    const weight = d.weights.findIndex((_, i) => countOf(d.readings, i) < d.times);
    return weight < 0 ? null : { weight, nth: countOf(d.readings, weight) + 1, edge: null };
  }
  if (d.at === "edges" && d.offCentre.length < edges.length) {
    return { weight: heaviest(d), nth: d.offCentre.length + 1, edge: d.offCentre.length };
  }
  return null;
}

/** The weight for the edges: what pulls hardest shows most. */
export function heaviest(d: Draft): number {
  const grams = d.weights.map((w) => Number(plainNumber(w.nominal || w.value)) || 0);
  return grams.indexOf(Math.max(...grams));
}

type Kept = Record<string, unknown>;
const isKept = (x: unknown): x is Kept => typeof x === "object" && x !== null && !Array.isArray(x);
const str = (x: unknown): string => (typeof x === "string" ? x : "");
const items = (x: unknown): Kept[] => (Array.isArray(x) ? x.filter(isKept) : []);

/** Reads a kept draft; one of another version counts as none. */
export function readDraft(x: unknown): Draft {
  const first = freshDraft();
  if (!isKept(x)) return first;
  const weights = items(x.weights).map((w) => ({
    nominal: str(w.nominal),
    class: str(w.class),
    value: str(w.value),
    expanded: str(w.expanded),
  }));
  const placed = (list: unknown): Placed[] =>
    items(list)
      .map((r) => ({ weight: Number(r.weight), shown: str(r.shown), zero: str(r.zero) }))
      .filter((r) => Number.isInteger(r.weight) && r.weight >= 0 && r.weight < weights.length);
  const at = (["middle", "further", "edges", "alone", "result"] as const).find((a) => a === x.at);
  const scale = isKept(x.scale) ? { name: str(x.scale.name), dialect: str(x.scale.dialect) } : null;
  return {
    ...first,
    // Time went on while the page was away: an untouched pan is watched anew.
    at: at && weights.length ? (at === "alone" ? "further" : at) : "kit",
    weights,
    times: [3, 5, 10].find((t) => t === x.times) ?? first.times,
    unit: str(x.unit),
    resolution: str(x.resolution),
    scale: scale?.name ? scale : null,
    readings: placed(x.readings),
    offCentre: placed(x.offCentre),
    untouched:
      at === "alone"
        ? []
        : items(x.untouched).map((m) => ({ after_s: Number(m.after_s), shown: str(m.shown) })),
    temperature: str(x.temperature),
    place: str(x.place),
  };
}
