import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useMemo, useRef } from "preact/hooks";
import type { Bench, Picture } from "../../bench/bench";
import { lightAt, padOf, type SideLight, stepsOf } from "../../bench/side-light";
import { edgeOf } from "../../bench/work";
import type { Point } from "../../bench/zoom";
import { opened, openPhoto } from "../../records/photos-open";
import { text } from "../../text";
import { arrowOf } from "../../view/arrow";
import { CameraView } from "./camera-view";
import { ChoosePhoto } from "./choose-photo";
import { DialRefused, LedBy, stepWords } from "./dial-lead";
import { type Draw, drawPicture, Glass } from "./glass";
import { Slide } from "./over-view";
import { pictureOf } from "./use-bench";

/** Places of the relief to those of the picture, its coin lying where the picture's coin does. */
export function reliefMap(bench: Bench, light: SideLight): number[] {
  const making = light.making.value;
  const disc = making.is === "made" ? making.disc : null;
  const { width, height } = bench.picture;
  const on = edgeOf(bench.work.now.value.rim) ?? {
    x: width / 2,
    y: height / 2,
    a: Math.min(width, height) / 2,
  };
  const k = disc ? on.a / disc.r : 1;
  return [k, 0, 0, k, on.x - k * (disc?.x ?? 0), on.y - k * (disc?.y ?? 0)];
}

/** The relief as it is lit, else the picture of the bench. */
export function LightView(props: {
  bench: Bench;
  light: SideLight;
  /** Another relief in its place, with the map of its places onto those of the picture. */
  instead?: { light: SideLight; map: readonly number[] } | null | undefined;
  onTap?: ((at: Point) => void) | undefined;
  children?: ComponentChildren;
}) {
  const { bench, light, instead } = props;
  const lit = (instead?.light ?? light).lit.value;
  const map = instead?.map ?? reliefMap(bench, light);
  const asked = map.join(" ");
  const canvas = useMemo(() => document.createElement("canvas"), []);
  const draw = useMemo<Draw>(() => {
    if (!lit) return (pen, view, glass) => drawPicture(pen, bench.picture.bitmap, view, glass);
    canvas.width = lit.width;
    canvas.height = lit.height;
    canvas.getContext("2d")?.putImageData(new ImageData(lit.rgba, lit.width, lit.height), 0, 0);
    return (pen, view, glass) => drawPicture(pen, canvas, view, glass, map);
  }, [bench, canvas, lit, asked]);
  return (
    <div data-part="light-view" data-lit={lit ? `${lit.width}x${lit.height}` : undefined}>
      <Glass
        zoom={bench.zoom}
        label={lit ? text.bench.light.relief : text.bench.picture}
        draw={draw}
        onTap={props.onTap}
      >
        {props.children}
      </Glass>
    </div>
  );
}

/** Leads through the photos, one for each side of the lamp, and lights what came of them. */
export function LightPanel({ light }: { light: SideLight }) {
  const making = light.making.value;
  const frames = light.frames.value;
  const led = light.led.value;
  const steps = stepsOf(led);
  const next = light.next;
  const left = frames.filter((f) => f === null).length;
  const count = useRef(0);
  const take = (n: number, photo: ReturnType<typeof opened>) => {
    const picture: Picture = pictureOf(`light ${++count.current}`, photo);
    light.put(n, picture);
    if (light.next === null) void light.make();
  };
  return (
    <section class="card" data-part="light-panel" data-state={making.is} data-left={left}>
      {making.is === "made" && <LightPad light={light} />}
      <LedBy light={light} />
      <p class="quiet small">{led.by === "lamp" ? text.bench.light.hint : text.dial.hint}</p>
      <ol class="plain lamp-sides" data-many={steps.length}>
        {steps.map((side, n) => (
          <li key={side} data-side={side} data-there={frames[n] ? true : undefined}>
            <span>{stepWords(light, n).name}</span>
            {frames[n] ? (
              <button
                type="button"
                class="quiet-button"
                data-do="frame-again"
                onClick={() => light.put(n, null)}
              >
                {text.bench.light.again}
              </button>
            ) : (
              <span class="quiet">{next === n ? text.bench.light.now : text.bench.light.later}</span>
            )}
          </li>
        ))}
      </ol>
      {next !== null && (
        <>
          <p role="status">
            <strong>{stepWords(light, next).lead}</strong>
          </p>
          <CameraView words={text.bench.light.take} onTaken={(bitmap) => take(next, opened(bitmap))} />
          <ChoosePhoto
            many
            words={led.by === "lamp" ? text.bench.light.choose(left) : text.dial.choose(left)}
            onFile={async (file) => {
              const at = light.next;
              if (at === null) return;
              take(at, await openPhoto(file));
            }}
          />
        </>
      )}
      {making.is === "making" && (
        <>
          <p role="status">
            {text.bench.light.making} {text.percent(making.done)}
          </p>
          <button type="button" class="button" data-do="stop-relief" onClick={() => light.stop()}>
            {text.bench.stop}
          </button>
        </>
      )}
      {making.is === "refused" && (
        <>
          <DialRefused light={light} making={making} />
          {next === null && making.mark === undefined && (
            <button type="button" class="button" data-do="make-again" onClick={() => void light.make()}>
              {text.bench.light.make}
            </button>
          )}
        </>
      )}
    </section>
  );
}

/** How far an arrow key moves the light on its pad. */
const padStep = 0.08;

/** A round pad to drag the light on: its middle is above the coin, its edge beside it. */
function LightPad({ light }: { light: SideLight }) {
  const pad = useRef<HTMLButtonElement>(null);
  const dragging = useSignal(false);
  const at = padOf(light.light.value);
  const to = (x: number, y: number) => void light.relight(lightAt(x, y));
  const drag = (e: PointerEvent) => {
    const r = pad.current?.getBoundingClientRect();
    if (!r) return;
    to((2 * (e.clientX - r.left)) / r.width - 1, (2 * (e.clientY - r.top)) / r.height - 1);
  };
  return (
    <>
      <button
        ref={pad}
        type="button"
        class="light-pad"
        data-part="light-pad"
        data-side={Math.round(light.light.value.side)}
        aria-label={text.bench.light.pad}
        onPointerDown={(e) => {
          e.currentTarget.setPointerCapture(e.pointerId);
          dragging.value = true;
          drag(e);
        }}
        onPointerMove={(e) => dragging.value && drag(e)}
        onPointerUp={() => {
          dragging.value = false;
        }}
        onPointerCancel={() => {
          dragging.value = false;
        }}
        onKeyDown={(e) => {
          const way = arrowOf(e, padStep);
          if (way) to(at.x + way.dx, at.y + way.dy);
        }}
      >
        <svg viewBox="-1.1 -1.1 2.2 2.2" aria-hidden="true" focusable="false">
          <circle class="pad-edge" r="1" />
          <circle class="pad-ring" r="0.5" />
          <circle class="pad-light" cx={at.x} cy={at.y} r="0.12" />
        </svg>
      </button>
      <Slide
        name="boost"
        label={text.bench.light.boost}
        value={Math.round(light.boost.value * 10)}
        low={5}
        high={60}
        onSlide={(v) => {
          light.boost.value = v / 10;
          void light.relight();
        }}
      />
      <p class="quiet small">{text.bench.light.shape}</p>
    </>
  );
}
