import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { CameraScale, Corner } from "../../senses/camera-scale";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { ToolPage, toWeighing } from "./page";
import "./camera.css";

/** A scale's display is framed and taught, and the camera reads it from then on. */
export function CameraScreen() {
  const { camera } = useApp();
  const state = camera.state.value;
  const on = state.is !== "off" && state.is !== "trouble";
  return (
    <ToolPage tool="camera" title={text.toolbox.names.camera} back={toWeighing()}>
      <p>{text.camera.intro}</p>
      <section class="card" data-part="camera" data-state={state.is} data-why={camera.why.value}>
        <p class="camera-on" data-on={on || undefined} role="status">
          {state.is === "starting" ? text.camera.starting : on ? text.camera.on : text.camera.off}
        </p>
        <p>{text.camera.privacy}</p>
        {state.is === "trouble" && (
          <p class="problem" role="alert" data-part="camera-trouble" data-why={state.why}>
            {text.camera.troubles[state.why]}
          </p>
        )}
        {on ? (
          <button type="button" class="button" data-do="camera-off" onClick={() => camera.stop()}>
            {text.camera.stop}
          </button>
        ) : (
          <button type="button" class="button main" data-do="camera-on" onClick={() => void camera.start()}>
            {text.camera.start}
          </button>
        )}
        {camera.view.value && <Picture camera={camera} view={camera.view.value} />}
        {state.is === "framing" && (
          <>
            <p>{text.camera.frame}</p>
            <button
              type="button"
              class="button main wide"
              data-do="framed"
              onClick={() => void camera.framed()}
            >
              {text.camera.framed}
            </button>
          </>
        )}
        {state.is === "teaching" && <Teaching camera={camera} />}
        {state.is === "reading" && <Reads camera={camera} />}
        {(state.is === "teaching" || state.is === "reading") && (
          <button type="button" class="button" data-do="reframe" onClick={() => camera.reframe()}>
            {text.camera.reframe}
          </button>
        )}
        {on && <Power camera={camera} />}
      </section>
    </ToolPage>
  );
}

/** How far an arrow key moves a corner, as a share of the picture; four times that with Shift. */
const step = 0.005;

/** What the camera sees, with the frame about the display. */
function Picture({ camera, view }: { camera: CameraScale; view: HTMLVideoElement }) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    view.setAttribute("aria-hidden", "true");
    box.current?.prepend(view);
    void view.play().catch(() => {}); // it stopped while it was off the page
  }, [view]);
  const corners = camera.corners.value;
  const framing = camera.state.value.is === "framing";
  const drag = (k: number) => (e: PointerEvent) => {
    const r = box.current?.getBoundingClientRect();
    if (!r || !(e.currentTarget as Element).hasPointerCapture(e.pointerId)) return;
    camera.move(k, { x: (e.clientX - r.left) / r.width, y: (e.clientY - r.top) / r.height });
  };
  const key = (k: number, at: Corner) => (e: KeyboardEvent) => {
    const by = step * (e.shiftKey ? 4 : 1);
    const way = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] }[e.key];
    if (!way) return;
    e.preventDefault();
    camera.move(k, { x: at.x + (way[0] ?? 0), y: at.y + (way[1] ?? 0) });
  };
  return (
    <div class="camera-picture" ref={box}>
      <svg viewBox="0 0 1 1" preserveAspectRatio="none" aria-hidden="true">
        <polygon points={corners.map((c) => `${c.x},${c.y}`).join(" ")} />
      </svg>
      {framing &&
        corners.map((c, k) => (
          <button
            key={text.camera.corners[k]}
            type="button"
            class="camera-corner"
            data-corner={k}
            aria-label={text.camera.corners[k]}
            style={{ left: `${100 * c.x}%`, top: `${100 * c.y}%` }}
            onPointerDown={(e) => e.currentTarget.setPointerCapture(e.pointerId)}
            onPointerMove={drag(k)}
            onKeyDown={key(k, c)}
          />
        ))}
    </div>
  );
}

/** What the display shows is typed, until the reader knows it. */
function Teaching({ camera }: { camera: CameraScale }) {
  const shown = useSignal("");
  const done = camera.typed.value.length;
  return (
    <form
      onSubmit={(e) => {
        e.preventDefault();
        void camera.shown(shown.value.trim().replace(",", ".")).then(() => {
          if (camera.typed.value.length > done) shown.value = "";
        });
      }}
    >
      <p role="status">{text.camera.teach[Math.min(done, 2)]}</p>
      <label class="field">
        <span>{text.camera.shows}</span>
        <input
          name="display-shows"
          inputMode="decimal"
          autocomplete="off"
          value={shown.value}
          onInput={(e) => {
            shown.value = e.currentTarget.value;
          }}
        />
      </label>
      <button type="submit" class="button main" data-do="teach">
        {text.camera.take}
      </button>
      {camera.why.value && (
        <p class="problem" role="alert">
          {text.camera.whys[camera.why.value]}
        </p>
      )}
      <p class="figures" data-part="taught-count">
        {text.camera.taught(done)}
      </p>
      <p>{text.camera.allLit}</p>
      <div class="row">
        {[4, 5, 6].map((n) => (
          <button key={n} type="button" class="button" data-all-lit={n} onClick={() => void camera.allLit(n)}>
            {text.camera.digits(n)}
          </button>
        ))}
      </div>
    </form>
  );
}

function Reads({ camera }: { camera: CameraScale }) {
  return (
    <>
      <p>{text.camera.reading}</p>
      <p class="figures" data-part="camera-reads">
        {text.camera.reads}: {camera.text.value || text.camera.nothing}
      </p>
      {camera.why.value && (
        <p class="problem" role="alert" data-part="camera-why" data-why={camera.why.value}>
          {text.camera.whys[camera.why.value]}
        </p>
      )}
      <p>{text.camera.handsFree}</p>
      <a class="button main wide" href={toWeighing().href} data-do="to-weighing">
        {text.camera.toWeighing}
      </a>
    </>
  );
}

/** What the camera costs: the screen's light, and the battery. */
function Power({ camera }: { camera: CameraScale }) {
  return (
    <>
      <p class="hint">{camera.awake.state.value === "unable" ? text.camera.asleep : text.camera.awake}</p>
      {camera.batteryLow.value && (
        <p class="problem" role="alert">
          {text.camera.battery}
        </p>
      )}
    </>
  );
}
