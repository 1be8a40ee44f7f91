import type { PhotoOf } from "../core/journal";
import { lampSides } from "./side-light";

/** A coin's two faces. */
export const faces = ["obverse", "reverse"] as const;
export type Face = (typeof faces)[number];

export const faceOf = (side: string | undefined): Face | undefined => faces.find((f) => f === side);
export const otherFace = (face: Face): Face => (face === "obverse" ? "reverse" : "obverse");

/** A lamp's side as a photo keeps it, which has 0 for none. */
export const lampKept = (side: number): number => (side > 0 ? side : side + 360);

/** Whether a photo is one of several of a still coin that were taken as one. */
export const isLit = (p: PhotoOf): boolean => (p.lamp ?? 0) > 0;

/** The photos of a side of a coin lit from all sides, in the order of those; the newest that is whole. Null for none. */
export function litPhotos(photos: readonly PhotoOf[], face: Face): PhotoOf[] | null {
  const lit = photos.filter((p) => isLit(p) && p.side === face);
  const times = [...new Set(lit.map((p) => p.taken ?? 0))].sort((a, b) => b - a);
  for (const taken of times) {
    const together = lit.filter((p) => (p.taken ?? 0) === taken);
    const all = lampSides.flatMap((side) => together.find((p) => p.lamp === lampKept(side)) ?? []);
    if (all.length === lampSides.length) return all;
  }
  return null;
}
