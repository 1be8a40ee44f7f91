import { type Signal, signal } from "@preact/signals";

export interface Point {
  x: number;
  y: number;
}

export interface Size {
  width: number;
  height: number;
}

/** Which part of a picture stands on the glass. */
export interface View {
  /** The place of the picture, in its pixels, that stands in the middle of the glass. */
  x: number;
  y: number;
  /** Pixels of the page for each of the picture. */
  scale: number;
}

/** So large a pixel of the picture can be made: plain squares to count. */
export const mostScale = 24;
/** Beyond this the squares are drawn as squares, since smoothing would invent what lies between them. */
export const squaresFrom = 3;
/** How much one press of a key, or one notch of a wheel, makes larger. */
export const zoomStep = 1.25;

/** The whole picture, as large as the glass takes it. */
export function wholeOn(picture: Size, glass: Size): View {
  const scale = Math.min(glass.width / picture.width, glass.height / picture.height);
  return {
    x: picture.width / 2,
    y: picture.height / 2,
    scale: scale > 0 && Number.isFinite(scale) ? scale : 1,
  };
}

/** Where a place of the picture stands on the glass. */
export const onGlass = (v: View, glass: Size, p: Point): Point => ({
  x: glass.width / 2 + (p.x - v.x) * v.scale,
  y: glass.height / 2 + (p.y - v.y) * v.scale,
});

/** The place of the picture under a place of the glass. */
export const inPicture = (v: View, glass: Size, p: Point): Point => ({
  x: v.x + (p.x - glass.width / 2) / v.scale,
  y: v.y + (p.y - glass.height / 2) / v.scale,
});

/** One map after another, each as the six numbers of a canvas. */
export function thenMap(first: readonly number[], second: readonly number[]): number[] {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = first;
  const [p = 1, q = 0, r = 0, s = 1, t = 0, u = 0] = second;
  return [p * a + r * b, q * a + s * b, p * c + r * d, q * c + s * d, p * e + r * f + t, q * e + s * f + u];
}

/** Where a map of six numbers takes a place. */
export function mapped(map: readonly number[], { x, y }: Point): Point {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = map;
  return { x: a * x + c * y + e, y: b * x + d * y + f };
}

/** A picture on a glass: moved and zoomed by hand, wheel and keys, and never lost from sight. */
export class Zoom {
  readonly view: Signal<View> = signal({ x: 0, y: 0, scale: 1 });
  readonly glass: Signal<Size> = signal({ width: 1, height: 1 });
  private picture: Size = { width: 1, height: 1 };
  /** It stands as it was fitted, so another glass fits it again. */
  private fitted = true;

  show(picture: Size): void {
    this.picture = picture;
    this.whole();
  }

  resize(glass: Size): void {
    this.glass.value = glass;
    if (this.fitted) this.whole();
    else this.set(this.view.peek());
  }

  whole(): void {
    this.view.value = wholeOn(this.picture, this.glass.peek());
    this.fitted = true;
  }

  /** Moves what stands on the glass, by pixels of the page. */
  pan(dx: number, dy: number): void {
    const v = this.view.peek();
    this.set({ ...v, x: v.x - dx / v.scale, y: v.y - dy / v.scale });
  }

  /** Makes it larger by a factor; what stands at a place of the glass, its middle if none is named, stays there. */
  zoom(by: number, at?: Point): void {
    const v = this.view.peek();
    const glass = this.glass.peek();
    const least = wholeOn(this.picture, glass).scale;
    const scale = Math.min(Math.max(v.scale * by, Math.min(least, 1)), Math.max(mostScale, least));
    const on = at ?? { x: glass.width / 2, y: glass.height / 2 };
    const under = inPicture(v, glass, on);
    this.set({
      scale,
      x: under.x - (on.x - glass.width / 2) / scale,
      y: under.y - (on.y - glass.height / 2) / scale,
    });
  }

  /** So that what lies around a place fills about half of the glass. */
  lookAt({ x, y }: Point, around: number): void {
    const { width, height } = this.glass.peek();
    this.set({ x, y, scale: Math.min(Math.min(width, height) / (4 * Math.max(around, 1)), mostScale) });
  }

  /** So that a place stands on the glass; nothing changes if it does. */
  reveal(p: Point): void {
    const glass = this.glass.peek();
    const at = onGlass(this.view.peek(), glass, p);
    const margin = 24;
    const dx = Math.min(0, glass.width - margin - at.x) + Math.max(0, margin - at.x);
    const dy = Math.min(0, glass.height - margin - at.y) + Math.max(0, margin - at.y);
    if (dx || dy) this.pan(dx, dy);
  }

  private set(v: View): void {
    const { width, height } = this.picture;
    this.fitted = false;
    this.view.value = {
      scale: v.scale,
      x: Math.min(Math.max(v.x, 0), width),
      y: Math.min(Math.max(v.y, 0), height),
    };
  }
}
