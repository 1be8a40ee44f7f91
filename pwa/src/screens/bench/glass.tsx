import type { ComponentChildren } from "preact";
import { useEffect, useMemo, useRef } from "preact/hooks";
import {
  inPicture,
  onGlass,
  type Point,
  type Size,
  squaresFrom,
  type View,
  type Zoom,
  zoomStep,
} from "../../bench/zoom";
import { text } from "../../text";
import { arrowOf } from "../../view/arrow";

/** What is drawn on the glass. pen counts in pixels of the page; to brings places of the picture there. */
export type Draw = (pen: CanvasRenderingContext2D, view: View, glass: Size, dense: number) => void;

/** How far an arrow key moves the picture, in pixels of the page; four times that with Shift. */
const panStep = 40;
/** A finger that moved no farther has tapped. */
const tapWithin = 8;

/**
 * A picture behind glass: moved by one finger or the mouse, zoomed by two, the wheel or keys. What
 * lies on it (handles, lines) is its children.
 */
export function Glass(props: {
  zoom: Zoom;
  /** What the picture is, for those who don't see it. */
  label: string;
  draw: Draw;
  /** Where a place is shown larger, since a finger lies on it. */
  under?: Point | null | undefined;
  /** Told where the mouse or finger is, in the picture; null when it leaves. */
  onPoint?: ((at: Point | null) => void) | undefined;
  /** A tap that moved nothing, in the picture. */
  onTap?: ((at: Point) => void) | undefined;
  children?: ComponentChildren;
}) {
  const { zoom, draw, under } = props;
  const tapped = useRef<Point | null>(null);
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const fingers = useRef(new Map<number, Point>());
  const view = zoom.view.value;
  const glass = zoom.glass.value;

  useEffect(() => {
    const el = box.current;
    if (!el) return;
    const see = () => {
      const r = el.getBoundingClientRect();
      if (r.width > 0 && r.height > 0) zoom.resize({ width: r.width, height: r.height });
    };
    see();
    const seen = new ResizeObserver(see);
    seen.observe(el);
    // A wheel listener of the framework's may not keep the page from scrolling.
    const wheel = (e: WheelEvent) => {
      e.preventDefault();
      const r = el.getBoundingClientRect();
      const at = { x: e.clientX - r.left, y: e.clientY - r.top };
      zoom.zoom(zoomStep ** (-Math.sign(e.deltaY) * Math.min(1, Math.abs(e.deltaY) / 60)), at);
    };
    el.addEventListener("wheel", wheel, { passive: false });
    return () => {
      seen.disconnect();
      el.removeEventListener("wheel", wheel);
    };
  }, [zoom]);

  useEffect(() => {
    const frame = requestAnimationFrame(() => {
      const el = canvas.current;
      const pen = el?.getContext("2d");
      if (!el || !pen) return;
      const dense = Math.min(3, devicePixelRatio || 1);
      const [w, h] = [Math.round(glass.width * dense), Math.round(glass.height * dense)];
      if (el.width !== w || el.height !== h) [el.width, el.height] = [w, h];
      pen.setTransform(dense, 0, 0, dense, 0, 0);
      pen.clearRect(0, 0, glass.width, glass.height);
      pen.imageSmoothingEnabled = view.scale * dense < squaresFrom * dense;
      pen.imageSmoothingQuality = "high";
      draw(pen, view, glass, dense);
      if (under) drawLarger(pen, view, glass, dense, under, draw);
    });
    return () => cancelAnimationFrame(frame);
  }, [view, glass, draw, under]);

  const at = (e: PointerEvent): Point => {
    const r = box.current?.getBoundingClientRect();
    return { x: e.clientX - (r?.left ?? 0), y: e.clientY - (r?.top ?? 0) };
  };
  const down = (e: PointerEvent) => {
    if ((e.target as Element).closest("button")) return;
    box.current?.setPointerCapture(e.pointerId);
    fingers.current.set(e.pointerId, at(e));
    tapped.current = fingers.current.size === 1 ? at(e) : null;
  };
  const move = (e: PointerEvent) => {
    const now = at(e);
    props.onPoint?.(inPicture(zoom.view.peek(), zoom.glass.peek(), now));
    const all = fingers.current;
    const before = all.get(e.pointerId);
    if (!before) return;
    all.set(e.pointerId, now);
    const other = [...all].find(([id]) => id !== e.pointerId)?.[1];
    if (!other) {
      zoom.pan(now.x - before.x, now.y - before.y);
      return;
    }
    // Two fingers: what lay under their middle stays there.
    const middle = { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 };
    const was = Math.hypot(before.x - other.x, before.y - other.y);
    const is = Math.hypot(now.x - other.x, now.y - other.y);
    zoom.pan((now.x - before.x) / 2, (now.y - before.y) / 2);
    if (was > 8 && is > 8) zoom.zoom(is / was, middle);
  };
  const up = (e: PointerEvent) => {
    const [began, now] = [tapped.current, at(e)];
    tapped.current = null;
    if (!fingers.current.delete(e.pointerId) || !began || e.type !== "pointerup") return;
    if (Math.hypot(now.x - began.x, now.y - began.y) < tapWithin) {
      props.onTap?.(inPicture(zoom.view.peek(), zoom.glass.peek(), now));
    }
  };
  const key = (e: KeyboardEvent) => {
    if (e.target !== box.current || e.ctrlKey || e.metaKey || e.altKey) return;
    const by = panStep * (e.shiftKey ? 4 : 1);
    const ways: Record<string, () => void> = {
      ArrowLeft: () => zoom.pan(by, 0),
      ArrowRight: () => zoom.pan(-by, 0),
      ArrowUp: () => zoom.pan(0, by),
      ArrowDown: () => zoom.pan(0, -by),
      "+": () => zoom.zoom(zoomStep),
      "=": () => zoom.zoom(zoomStep),
      "-": () => zoom.zoom(1 / zoomStep),
      "0": () => zoom.whole(),
    };
    const act = ways[e.key];
    if (!act) return;
    e.preventDefault();
    act();
  };
  return (
    <div
      ref={box}
      class="glass"
      data-part="glass"
      data-scale={view.scale.toFixed(4)}
      data-at={`${view.x.toFixed(2)} ${view.y.toFixed(2)}`}
      role="group"
      aria-label={`${props.label} ${text.bench.keys}`}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is moved and zoomed by keys
      tabIndex={0}
      onPointerDown={down}
      onPointerMove={move}
      onPointerUp={up}
      onPointerCancel={up}
      onPointerLeave={() => props.onPoint?.(null)}
      onKeyDown={key}
    >
      <canvas ref={canvas} />
      {props.children}
    </div>
  );
}

/** How large the round is in which a place is shown larger, and by how much. */
const round = 56;
const larger = 3;

/** What lies under a finger, larger, in the corner that is farther from it. */
function drawLarger(
  pen: CanvasRenderingContext2D,
  view: View,
  glass: Size,
  dense: number,
  under: Point,
  draw: Draw,
): void {
  const finger = onGlass(view, glass, under);
  const x = finger.x > glass.width / 2 ? round + 8 : glass.width - round - 8;
  const y = round + 8;
  const scale = Math.max(view.scale * larger, squaresFrom);
  pen.save();
  pen.beginPath();
  pen.arc(x, y, round, 0, 2 * Math.PI);
  pen.clip();
  pen.clearRect(x - round, y - round, 2 * round, 2 * round);
  pen.setTransform(dense, 0, 0, dense, (x - round) * dense, (y - round) * dense);
  pen.imageSmoothingEnabled = false;
  draw(pen, { ...under, scale }, { width: 2 * round, height: 2 * round }, dense);
  pen.restore();
  pen.save();
  const ink = getComputedStyle(document.documentElement).getPropertyValue("--brass") || "#e3b557";
  pen.strokeStyle = ink;
  pen.lineWidth = 2;
  pen.beginPath();
  pen.arc(x, y, round, 0, 2 * Math.PI);
  pen.moveTo(x - 10, y);
  pen.lineTo(x + 10, y);
  pen.moveTo(x, y - 10);
  pen.lineTo(x, y + 10);
  pen.stroke();
  pen.restore();
}

/** The picture, with a map of its places onto those of the view's picture before it, if one is given. */
export function drawPicture(
  pen: CanvasRenderingContext2D,
  picture: CanvasImageSource,
  view: View,
  glass: Size,
  map: readonly number[] = [1, 0, 0, 1, 0, 0],
): void {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = map;
  pen.save();
  pen.translate(glass.width / 2 - view.x * view.scale, glass.height / 2 - view.y * view.scale);
  pen.scale(view.scale, view.scale);
  pen.transform(a, b, c, d, e, f);
  pen.drawImage(picture, 0, 0);
  pen.restore();
}

/** Draws the picture alone. */
export const useDraw = (picture: CanvasImageSource): Draw =>
  useMemo((): Draw => (pen, view, glass) => drawPicture(pen, picture, view, glass), [picture]);

/** A point to take hold of: by finger, mouse, or arrow keys. It moves by as much as the finger does. */
export function Hold(props: {
  zoom: Zoom;
  at: Point;
  label: string;
  name: string;
  onMove(to: Point): void;
  onHeld(at: Point | null): void;
}) {
  const { zoom, at } = props;
  const from = useRef<{ finger: Point; at: Point } | null>(null);
  const view = zoom.view.value;
  const on = onGlass(view, zoom.glass.value, at);
  const key = (e: KeyboardEvent) => {
    const way = arrowOf(e, (e.shiftKey ? 10 : 1) / view.scale);
    if (!way) return;
    e.stopPropagation();
    const to = { x: at.x + way.dx, y: at.y + way.dy };
    zoom.reveal(to);
    props.onMove(to);
  };
  return (
    <button
      type="button"
      class="hold"
      data-hold={props.name}
      aria-label={props.label}
      style={{ left: `${on.x}px`, top: `${on.y}px` }}
      onFocus={() => zoom.reveal(at)}
      onPointerDown={(e) => {
        e.currentTarget.setPointerCapture(e.pointerId);
        from.current = { finger: { x: e.clientX, y: e.clientY }, at };
        props.onHeld(at);
      }}
      onPointerMove={(e) => {
        const f = from.current;
        if (!f) return;
        const to = {
          x: f.at.x + (e.clientX - f.finger.x) / view.scale,
          y: f.at.y + (e.clientY - f.finger.y) / view.scale,
        };
        props.onHeld(to);
        props.onMove(to);
      }}
      onPointerUp={() => {
        from.current = null;
        props.onHeld(null);
      }}
      onPointerCancel={() => {
        from.current = null;
        props.onHeld(null);
      }}
      onKeyDown={key}
    />
  );
}
