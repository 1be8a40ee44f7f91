import { fields, list, number, oneOf } from "../core/json";
import type { Point } from "./zoom";

/** A coin's rim in a picture, in its pixels: half the length and width, and how the length is turned, degrees counterclockwise. */
export interface Ellipse {
  x: number;
  y: number;
  a: number;
  b: number;
  turn: number;
}

/** How a rim came about: seen or set; or by the place of a close-up on the whole coin, or as a circle that stands for a ruler’s scale. */
export const rimBy = ["found", "hand", "close-up", "ruler"] as const;

/** A rim with how it came about. */
export interface Rim extends Ellipse {
  by: (typeof rimBy)[number];
  /** The share of it along which an edge was seen; 1 where a hand set it. */
  covered: number;
  /** The relative standard uncertainty of its half axes, where the program says one. */
  u?: number;
  /** What its longer axis measures, where that isn’t the coin’s diameter, mm. */
  mm?: number;
}

/** A rim as the coin’s edge, which a picture can be laid by; null where it stands for a scale alone. */
export const edgeOf = (rim: Rim | null): Rim | null =>
  rim && (rim.by === "found" || rim.by === "hand") ? rim : null;

export function readEllipse(x: unknown): Ellipse | null {
  const f = fields(x);
  const e = { x: number(f.x), y: number(f.y), a: number(f.a), b: number(f.b) };
  if (e.x === null || e.y === null || !e.a || !e.b) return null;
  return { x: e.x, y: e.y, a: e.a, b: e.b, turn: number(f.turn) ?? 0 };
}

/** What a ruler is laid as: from point to point, off a line, at a corner, around a patch. */
export const lays = ["line", "step", "angle", "area"] as const;
export type Lay = (typeof lays)[number];

/** So many corners a patch may have. */
export const mostPoints = 24;

/** A ruler that lies on the picture. */
export interface Mark {
  id: string;
  is: Lay;
  points: readonly Point[];
  /** How surely a hand set them, as a standard uncertainty in pixels of the picture. */
  hand: number;
  /** The question of the coin book that it is to answer; empty for none. */
  of: string;
}

/** What a finger sets is as sure as a pixel and a half of the page is of the picture, and never surer than half of one of the picture. */
export const handOf = (scale: number): number => Math.max(0.5, 1.5 / scale);

/** What a ruler says, with its standard uncertainty. */
export interface Length {
  value: number;
  u: number;
  unit: "mm" | "deg" | "mm2";
  /** For a patch, its share of the face. */
  share?: number;
}

export const units = ["mm", "deg", "mm2"] as const;

export function readLength(x: unknown): Length | null {
  const f = fields(x);
  const [value, u, unit] = [number(f.value), number(f.u), oneOf(units, f.unit)];
  if (value === null || u === null || !unit) return null;
  const share = number(f.share);
  return { value, u, unit, ...(share !== null && { share }) };
}

/** What a hand has done on a picture, and can take back. */
export interface Work {
  rim: Rim | null;
  /** Where the rim is held: three places on it. */
  held: readonly Point[];
  marks: readonly Mark[];
}

export const nothingYet: Work = { rim: null, held: [], marks: [] };

export const readPoints = (x: unknown): Point[] =>
  list(x).flatMap((p) => {
    const pair = list(p);
    const [px, py] = [number(pair[0]), number(pair[1])];
    return px === null || py === null ? [] : [{ x: px, y: py }];
  });

/** A ruler as it is begun: in the middle of what is looked at, as wide as half of it. */
export function begun(id: string, is: Lay, middle: Point, width: number, hand: number, of = ""): Mark {
  const r = width / 4;
  const at = (dx: number, dy: number): Point => ({ x: middle.x + dx * r, y: middle.y + dy * r });
  const points: Record<Lay, Point[]> = {
    line: [at(-1, 0), at(1, 0)],
    step: [at(-1, 0), at(0, 0), at(1, 0.5)],
    angle: [at(-1, 0), at(0, 0), at(0, -1)],
    area: [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)],
  };
  return { id, is, points: points[is], hand, of };
}

/** A patch with one corner more, in the middle of its longest side. */
export function withCorner(m: Mark): Mark {
  if (m.is !== "area" || m.points.length >= mostPoints) return m;
  let best = 0;
  let longest = -1;
  const next = (i: number): Point => m.points[(i + 1) % m.points.length] as Point;
  m.points.forEach((p, i) => {
    const long = Math.hypot(next(i).x - p.x, next(i).y - p.y);
    if (long > longest) [longest, best] = [long, i];
  });
  const [p, q] = [m.points[best] as Point, next(best)];
  const points = [...m.points];
  points.splice(best + 1, 0, { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 });
  return { ...m, points };
}

export const withoutCorner = (m: Mark): Mark =>
  m.is === "area" && m.points.length > 3 ? { ...m, points: m.points.slice(0, -1) } : m;

/** A name that no other ruler has, on any phone. */
export const ownName = (): string => {
  const random = crypto.getRandomValues(new Uint8Array(8));
  return `m${Array.from(random, (b) => b.toString(36).padStart(2, "0")).join("")}`;
};
