import { type Signal, signal } from "@preact/signals";
import { fields, list, number, words } from "../core/json";
import type { Picture } from "./bench";
import { Undoable } from "./undo";
import { handOf, type Rim } from "./work";
import { type Point, type Size, Zoom } from "./zoom";

/** A camera at one zoom, by the name that the hunter gave it: how much it shows. */
export interface Lens {
  name: string;
  /** Across the longer side of its pictures, mm; so it holds for a picture made smaller, too. */
  mm: number;
  /** Longer by shorter side. */
  aspect: number;
  /** Relative standard uncertainty of mm. */
  u: number;
}

/** What a length on a ruler may be, mm. */
export const [shortestRuler, longestRuler] = [0.05, 500] as const;
const mostLenses = 30;
const mostName = 60;
/** How surely a zoom is set again and a distance held, as a relative standard uncertainty. Assumed. */
const setAgain = 0.01;
/** By how much the shape of another picture of the same camera may differ: by a pixel lost in making it smaller. */
const sameShape = 0.005;

const longer = ({ width, height }: Size): number => Math.max(width, height);
const aspectOf = (s: Size): number => longer(s) / Math.min(s.width, s.height);

/** What two points so many mm apart on a picture of a ruler say of a lens; hand is how surely they were set, px. Null where they say nothing. */
export function lensBy(
  name: string,
  picture: Size,
  [a, b]: readonly [Point, Point],
  mm: number,
  hand: number,
): Lens | null {
  const px = Math.hypot(a.x - b.x, a.y - b.y);
  const named = name.trim().slice(0, mostName);
  if (!named || !(px > 0) || !(mm >= shortestRuler && mm <= longestRuler)) return null;
  // Two ends, each set by hand.
  const u = Math.hypot((Math.SQRT2 * hand) / px, setAgain);
  return { name: named, mm: (mm * longer(picture)) / px, aspect: aspectOf(picture), u };
}

/** The diameter of the circle that stands for a scale where no coin does, mm. */
const circle = 20;

/** The scale that a lens gives a picture; null for a picture of another shape, which is of another camera, or cut. */
export function scaleOf(lens: Lens, picture: Size): Rim | null {
  if (Math.abs(aspectOf(picture) / lens.aspect - 1) > sameShape) return null;
  const r = ((circle / 2) * longer(picture)) / lens.mm;
  const middle = { x: picture.width / 2, y: picture.height / 2 };
  return { ...middle, a: r, b: r, turn: 0, by: "ruler", covered: 1, u: lens.u, mm: circle };
}

/** What is read of lenses that were kept. */
export const readLenses = (kept: unknown): Lens[] =>
  list(kept).flatMap((x) => {
    const f = fields(x);
    const [name, mm, aspect, u] = [words(f.name), number(f.mm), number(f.aspect), number(f.u)];
    return name && mm && aspect && u ? [{ name, mm, aspect, u }] : [];
  });

/** The lenses that the hunter has photographed a ruler with; where they are kept is for the page to say. */
export class Lenses {
  readonly all: Signal<readonly Lens[]>;
  /** The one that was forgotten last, to be put back. */
  readonly forgotten: Signal<Lens | null> = signal(null);

  constructor(all: Signal<readonly Lens[]>) {
    this.all = all;
  }

  /** Remembers one; an earlier one of the name gives way. */
  keep(lens: Lens): void {
    this.all.value = [lens, ...this.all.peek().filter((l) => l.name !== lens.name)].slice(0, mostLenses);
    if (this.forgotten.peek()?.name === lens.name) this.forgotten.value = null;
  }

  forget(lens: Lens): void {
    this.all.value = this.all.peek().filter((l) => l !== lens);
    this.forgotten.value = lens;
  }

  putBack(): void {
    const lens = this.forgotten.peek();
    this.forgotten.value = null;
    if (lens) this.keep(lens);
  }
}

/** A photographed ruler, with a point on each of two of its marks. */
export class RulerPhoto {
  readonly picture: Picture;
  readonly zoom = new Zoom();
  readonly work: Undoable<readonly [Point, Point]>;
  /** The point that is being moved by a finger, to be shown larger. */
  readonly under: Signal<Point | null> = signal(null);
  /** How surely the points lie, px: as far in as they were set last. */
  private hand = 0;

  constructor(picture: Picture) {
    this.picture = picture;
    this.zoom.show(picture);
    const { width, height } = picture;
    this.work = new Undoable<readonly [Point, Point]>([
      { x: 0.25 * width, y: height / 2 },
      { x: 0.75 * width, y: height / 2 },
    ]);
  }

  move(n: number, to: Point): void {
    const [a, b] = this.work.now.peek();
    this.hand = handOf(this.zoom.view.peek().scale);
    this.work.set(n === 0 ? [to, b] : [a, to], `${n}`);
  }

  lens(name: string, mm: number): Lens | null {
    return lensBy(
      name,
      this.picture,
      this.work.now.value,
      mm,
      this.hand || handOf(this.zoom.view.peek().scale),
    );
  }
}
