import { fields, list, number, words } from "./json";

/** Answers of the core's methods “density” and “roll”. */

export interface MetalFit {
  name: string;
  low: number;
  high: number;
  remains: boolean;
  grade: string;
  coins: string[];
  note: string;
}

export interface DensityAnswer {
  density: number;
  u: number;
  low: number;
  high: number;
  water: number;
  volume: number;
  alloys: MetalFit[];
  others: MetalFit[];
  advice: string;
}

export function readDensityAnswer(x: unknown): DensityAnswer | null {
  const d = fields(x);
  const [density, u, low, high] = [number(d.density), number(d.u), number(d.low), number(d.high)];
  if (density === null || u === null || low === null || high === null) return null;
  return {
    density,
    u,
    low,
    high,
    water: number(d.water_density) ?? 0,
    volume: number(d.volume_cm3) ?? 0,
    alloys: list(d.alloys).flatMap(readFit),
    others: list(d.others).flatMap(readFit),
    advice: words(d.advice),
  };
}

function readFit(x: unknown): MetalFit[] {
  const m = fields(x);
  const [low, high] = [number(m.low), number(m.high)];
  if (low === null || high === null) return [];
  return [
    {
      name: words(m.name),
      low,
      high,
      remains: m.remains === true,
      grade: words(m.grade),
      coins: list(m.coins).map(words).filter(Boolean),
      note: words(m.note),
    },
  ];
}

export interface RollAnswer {
  of: "count" | "other";
  from: number;
  probability: number[];
  best: number;
  low: number;
  high: number;
  /** That one at least of the other kind is there; null if nothing was expected beforehand. */
  any: number | null;
  sentence: string;
}

export function readRollAnswer(x: unknown): RollAnswer | null {
  const r = fields(x);
  const [best, low, high] = [number(r.best), number(r.low), number(r.high)];
  if (best === null || low === null || high === null) return null;
  return {
    of: r.of === "other" ? "other" : "count",
    from: number(r.from) ?? 0,
    probability: list(r.probability).map((p) => number(p) ?? 0),
    best,
    low,
    high,
    any: number(r.any),
    sentence: words(r.sentence),
  };
}
