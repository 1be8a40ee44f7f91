import type { MeasureOf, RimOf } from "../core/journal";
import { oneOf } from "../core/json";
import { type Face, faces } from "./lit";
import { readLine, type Turn } from "./sides";
import { type Ellipse, edgeOf, type Length, lays, type Mark, type Rim, rimBy } from "./work";
import type { Point } from "./zoom";

/** To a ten-thousandth: no picture says more. */
const round = (x: number): number => Math.round(x * 1e4) / 1e4;

/** A rim as it is kept with a find. */
export const keptRim = (rim: Rim, mm: number | null): RimOf => ({
  x: round(rim.x),
  y: round(rim.y),
  a: round(rim.a),
  b: round(rim.b),
  turn: round(rim.turn),
  ...((rim.mm ?? mm) && { mm: rim.mm ?? mm ?? 0 }),
  by: rim.by,
  // An edge that is seen is as sure as any other; a scale that came from elsewhere isn’t.
  ...(!edgeOf(rim) && rim.u && { u: round(rim.u) }),
});

/** A kept rim as it is worked with; null where it isn't one. */
export function rimOf(kept: RimOf | undefined): Rim | null {
  const by = oneOf(rimBy, kept?.by);
  if (!kept || !by) return null;
  const { x, y, a, b, turn = 0, u, mm } = kept;
  return { x, y, a, b, turn, by, covered: 1, ...(u && { u }), ...(by === "ruler" && mm && { mm }) };
}

export const sameRim = (a: Ellipse, b: Ellipse): boolean =>
  (["x", "y", "a", "b", "turn"] as const).every((k) => Math.abs(a[k] - b[k]) < 1e-3);

/** What a ruler says, as it is kept with a find. */
export const keptMeasure = (photo: string, mark: Mark, says: Length, now: number): MeasureOf => ({
  photo,
  is: mark.is,
  points: mark.points.map((p) => [round(p.x), round(p.y)]),
  value: round(says.value),
  u: round(says.u),
  unit: says.unit,
  ...(mark.of && { of: mark.of }),
  at: now,
});

/** The kept rulers of a photo as they are worked with; hand is how surely they are taken to lie. */
export const marksOf = (measures: Record<string, MeasureOf>, photo: string, hand: number): Mark[] =>
  Object.entries(measures).flatMap(([id, m]) => {
    const is = oneOf(lays, m.is);
    if (m.photo !== photo || !is) return [];
    return [{ id, is, points: m.points.map(([x, y]) => ({ x, y })), hand, of: m.of ?? "" }];
  });

/** A length as evidence holds it: the text of the core's object. */
export const asEvidence = (says: Length, known?: { choice: string; mm: number; u: number }): string =>
  JSON.stringify({ mm: round(says.value), u: round(says.u), ...(known && { known }) });

/** What such a measurement is, by the journal's word. */
const between = "between";

/** The angle between two sides as it is kept: on each photo the level that it follows from. */
export const keptBetween = (
  photos: Record<Face, string>,
  levels: Record<Face, readonly [Point, Point]>,
  says: Turn,
  now: number,
): MeasureOf => ({
  photo: photos.obverse,
  other: photos.reverse,
  is: between,
  points: faces.flatMap((f) => levels[f].map((p): [number, number] => [round(p.x), round(p.y)])),
  value: round(says.degrees),
  u: round(says.u),
  unit: "deg",
  at: now,
});

/** The level that was kept of a photo with an angle between two sides; null for none. */
export function levelIn(
  measures: Record<string, MeasureOf> | undefined,
  photo: string,
): [Point, Point] | null {
  for (const m of Object.values(measures ?? {})) {
    if (m.is !== between) continue;
    if (m.photo === photo) return readLine(m.points.slice(0, 2));
    if (m.other === photo) return readLine(m.points.slice(2, 4));
  }
  return null;
}

/** The kept angle between two photos, by its name. */
export const betweenOf = (
  measures: Record<string, MeasureOf> | undefined,
  photos: Record<Face, string>,
): [string, MeasureOf] | null =>
  Object.entries(measures ?? {}).find(
    ([, m]) => m.is === between && m.photo === photos.obverse && m.other === photos.reverse,
  ) ?? null;
