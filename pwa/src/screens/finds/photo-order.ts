import { type PhotoOf, type PhotoSide, photoSides } from "../../core/journal";

const rank = (p: PhotoOf): number => {
  const at = photoSides.indexOf(p.side as PhotoSide);
  // Of several lit from other sides none is the one to see first.
  return p.lamp ? photoSides.length + 1 : at < 0 ? photoSides.length : at;
};

/** Photos as one looks at a coin: obverse, reverse, edge, details; of one side as they were taken, those lit from several sides last. */
export const sidesFirst = (photos: PhotoOf[]): PhotoOf[] =>
  [...photos].sort(
    (a, b) => rank(a) - rank(b) || (a.taken ?? 0) - (b.taken ?? 0) || (a.lamp ?? 0) - (b.lamp ?? 0),
  );

/** The side that is wanted next: the first that has no photo yet, then details. */
export const nextSide = (photos: PhotoOf[]): PhotoSide =>
  (["obverse", "reverse"] as const).find((s) => !photos.some((p) => p.side === s)) ?? "detail";
