import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";
import type { CameraScale, Corner } from "../../senses/camera-scale";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { arrowOf } from "../../view/arrow";
import { useApp } from "../../view/context";
import { useLiveVideo } from "../../view/live-video";
import { ToolPage, toWeighing } from "./page";
import "./camera.css";

/** A scale's display is framed and taught, and the camera reads it from then on. */
export function CameraScreen() {
  const { camera } = useApp();
  const state = camera.state.value;
  const on = state.is !== "off" && state.is !== "trouble";
  return (
    <ToolPage tool="camera" title={text.toolbox.names.camera} back={toWeighing()}>
      {!on && <p>{text.camera.intro}</p>}
      <section
        class="card camera-card"
        data-part="camera"
        data-state={state.is}
        data-why={camera.why.value || undefined}
      >
        <p class="lamp-words" data-on={on || undefined} role="status">
          {state.is === "starting" ? text.camera.starting : on ? text.camera.on : text.camera.off}
        </p>
        {camera.view.value && <Picture camera={camera} view={camera.view.value} />}
        {state.is === "framing" && <Framing camera={camera} />}
        {state.is === "teaching" && <Teaching camera={camera} />}
        {state.is === "reading" && <Reads camera={camera} />}
        {state.is === "trouble" && (
          <p class="problem" role="alert" data-part="camera-trouble" data-why={state.why}>
            {text.camera.troubles[state.why]}
          </p>
        )}
        {!on && (
          <button
            type="button"
            class="button main wide"
            data-do="camera-on"
            onClick={() => void camera.start()}
          >
            {text.camera.start}
          </button>
        )}
        {state.is === "trouble" && <TypeInstead />}
        {on && (
          <div class="row">
            {(state.is === "teaching" || state.is === "reading") && (
              <button type="button" class="button" data-do="reframe" onClick={() => camera.reframe()}>
                {text.camera.reframe}
              </button>
            )}
            <button type="button" class="button" data-do="camera-off" onClick={() => camera.stop()}>
              {text.camera.stop}
            </button>
          </div>
        )}
        <p class="quiet small" data-part="camera-privacy">
          {text.camera.privacy}
        </p>
        {on && <Power camera={camera} />}
      </section>
    </ToolPage>
  );
}

/** Without a camera the weights are typed. */
function TypeInstead() {
  const { manualWeight } = useApp();
  return (
    <a
      class="button wide"
      href={toWeighing().href}
      data-do="type-instead"
      onClick={() => {
        manualWeight.on.value = true;
      }}
    >
      {text.camera.typeInstead}
    </a>
  );
}

function Framing({ camera }: { camera: CameraScale }) {
  return (
    <>
      <p>{text.camera.frame}</p>
      <button type="button" class="button main wide" data-do="framed" onClick={() => void camera.framed()}>
        {text.camera.framed}
      </button>
      <p class="quiet small camera-keyboard">{text.camera.frameKeys}</p>
    </>
  );
}

/** How far an arrow key moves a corner, as a share of the picture; four times that with Shift. */
const step = 0.005;

/** What the camera sees, with the frame about the display. */
function Picture({ camera, view }: { camera: CameraScale; view: HTMLVideoElement }) {
  const box = useLiveVideo(view);
  const corners = camera.corners.value;
  const framing = camera.state.value.is === "framing";
  /** Where the finger took hold, and the corner then: it moves by as much, so that the finger doesn't cover it. */
  const hold = useRef<{ x: number; y: number; corner: Corner } | null>(null);
  const take = (corner: Corner) => (e: PointerEvent) => {
    (e.currentTarget as Element).setPointerCapture(e.pointerId);
    hold.current = { x: e.clientX, y: e.clientY, corner };
  };
  const drag = (k: number) => (e: PointerEvent) => {
    const r = box.current?.getBoundingClientRect();
    const from = hold.current;
    if (!r || !from || !(e.currentTarget as Element).hasPointerCapture(e.pointerId)) return;
    camera.move(k, {
      x: from.corner.x + (e.clientX - from.x) / r.width,
      y: from.corner.y + (e.clientY - from.y) / r.height,
    });
  };
  const key = (k: number, at: Corner) => (e: KeyboardEvent) => {
    const way = arrowOf(e, step * (e.shiftKey ? 4 : 1));
    if (way) camera.move(k, { x: at.x + way.dx, y: at.y + way.dy });
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
            onPointerDown={take(c)}
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
  const why = camera.why.value || camera.sight.value;
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
      {why && (
        <p class="problem" role="alert" data-part="camera-why" data-why={why}>
          {text.camera.whys[why]}
        </p>
      )}
      <p class="quiet" data-part="taught-count">
        {text.camera.taught(done)}
      </p>
      <details>
        <summary>{text.camera.allLit}</summary>
        <div class="inside">
          <p>{text.camera.allLitHint}</p>
          <div class="row">
            {[4, 5, 6].map((n) => (
              <button
                key={n}
                type="button"
                class="button"
                data-all-lit={n}
                onClick={() => void camera.allLit(n)}
              >
                {text.camera.digits(n)}
              </button>
            ))}
          </div>
        </div>
      </details>
    </form>
  );
}

function Reads({ camera }: { camera: CameraScale }) {
  return (
    <>
      <p class="camera-reads figures" data-part="camera-reads">
        <span>{text.camera.reads}</span> <strong>{figure(camera.text.value) || text.weight.noNumber}</strong>
      </p>
      {camera.why.value && (
        <p class="problem" role="alert" data-part="camera-why" data-why={camera.why.value}>
          {text.camera.whys[camera.why.value]}
        </p>
      )}
      <p>{text.camera.reading}</p>
      <a class="button main wide" href={toWeighing().href} data-do="to-weighing">
        {text.camera.toWeighing}
      </a>
      <Share />
      <p class="quiet small">{text.camera.handsFree}</p>
    </>
  );
}

/** The others at the table weigh with what this phone reads. */
function Share() {
  const { cameraShare, live } = useApp();
  const on = cameraShare.on.value;
  if (!on && live.connection.value !== "open") return <p class="quiet small">{text.camera.alone}</p>;
  return (
    <>
      <button
        type="button"
        class="button wide"
        aria-pressed={on}
        data-do="share-camera"
        onClick={() => void (on ? cameraShare.stop() : cameraShare.start())}
      >
        {on ? text.camera.unshare : text.camera.share}
      </button>
      <p class="quiet small" role="status" data-part="camera-shared">
        {on ? text.camera.shared : text.camera.shareHint}
      </p>
      {cameraShare.trouble.value && (
        <p class="problem" role="alert">
          {cameraShare.trouble.value === "-" ? text.camera.notShared : cameraShare.trouble.value}
        </p>
      )}
    </>
  );
}

/** What the camera costs: the screen's light, and the battery. */
function Power({ camera }: { camera: CameraScale }) {
  return (
    <>
      <p class="quiet small" data-part="camera-power">
        {camera.awake.state.value === "unable" ? text.camera.asleep : text.camera.awake}
      </p>
      {camera.batteryLow.value && (
        <p class="problem" role="alert">
          {text.camera.battery}
        </p>
      )}
    </>
  );
}
