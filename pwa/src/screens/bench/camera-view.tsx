import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import { burstOf, courseOf, LiveCamera, type Shot } from "../../bench/live-camera";
import { camerasThere, openCamera } from "../../senses/camera";
import { text } from "../../text";
import { I } from "../../view/icons";
import { useLiveVideo } from "../../view/live-video";
import { Select } from "../form/controls";
import { FocusSteps } from "./focus-steps";
import { usePictures } from "./page";

/** The picture of now, whole. */
async function still({ view }: { view: HTMLVideoElement | null }): Promise<ImageBitmap> {
  if (!view) throw new Error("the camera shows nothing");
  return createImageBitmap(view);
}

/** As large as any camera gives it: what is asked for is a wish. */
const wish = { mostWidth: 4096, height: 2160 };

function useLiveCamera(): LiveCamera {
  const pictures = usePictures();
  const live = useMemo(
    () =>
      new LiveCamera({
        pictures,
        open: (lost, device) => openCamera(lost, { ...wish, ...(device && { device }) }),
        there: camerasThere,
        still,
      }),
    [pictures],
  );
  useEffect(() => {
    // The camera is on only while the page that shows it is looked at.
    const leave = () => document.hidden && live.stop();
    document.addEventListener("visibilitychange", leave);
    return () => {
      document.removeEventListener("visibilitychange", leave);
      live.stop();
    };
  }, [live]);
  return live;
}

/** A camera, live: what it sees, how sharp that is, and the picture that is taken of it. */
export function CameraView(props: {
  onTaken: (picture: ImageBitmap) => void;
  words?: string;
  /** Several focus steps may be put together to one picture. */
  focus?: boolean;
}) {
  const live = useLiveCamera();
  const state = live.state.value;
  const bursting = live.bursting.value;
  const busy = useSignal(false);
  const take = async (how: Shot) => {
    busy.value = true;
    const picture = await how();
    busy.value = false;
    if (!picture) return;
    props.onTaken(picture);
  };
  return (
    <section
      class="card bench-camera"
      data-part="bench-camera"
      data-state={state.is}
      aria-label={text.bench.camera.title}
    >
      {state.is === "on" ? (
        <>
          <LiveView live={live} />
          {live.course.value.length > 0 && <Sharpness course={live.course.value} />}
          <div class="row">
            <button
              type="button"
              class="button main"
              data-do="freeze"
              disabled={busy.value}
              onClick={() => void take(() => live.freeze())}
            >
              {props.words ?? text.bench.camera.freeze}
            </button>
            <button
              type="button"
              class="button"
              data-do="burst"
              disabled={busy.value}
              onClick={() => void take(() => live.burst())}
            >
              {bursting === null
                ? text.bench.camera.burst
                : text.bench.camera.bursting(bursting + 1, burstOf)}
            </button>
            <button type="button" class="button" data-do="camera-off" onClick={() => live.stop()}>
              {text.bench.camera.off}
            </button>
          </div>
          {props.focus && <FocusSteps live={live} onMade={props.onTaken} />}
          {live.cameras.value.length > 1 && (
            <Select
              name="camera"
              label={text.bench.camera.which}
              value={live.picked.value}
              none={text.bench.camera.any}
              options={live.cameras.value.map((c, n) => ({
                id: c.id,
                words: c.name || text.bench.camera.nameless(n + 1),
              }))}
              onPick={(id) => void live.start(id)}
            />
          )}
        </>
      ) : (
        <>
          <button
            type="button"
            class="button wide"
            data-do="camera-on"
            disabled={state.is === "starting"}
            onClick={() => void live.start()}
          >
            <I name="camera" /> {state.is === "starting" ? text.bench.camera.starting : text.bench.camera.on}
          </button>
          {state.is === "trouble" && (
            <p class="problem" role="alert" data-part="camera-trouble" data-why={state.why}>
              {text.bench.camera.troubles[state.why]}
            </p>
          )}
        </>
      )}
    </section>
  );
}

function LiveView({ live }: { live: LiveCamera }) {
  return (
    <div class="live-view" ref={useLiveVideo(live.camera.value?.view ?? null)}>
      <span class="unseen">{text.bench.camera.live}</span>
    </div>
  );
}

/** How sharp the middle is and was: bars against the sharpest of the last seconds. */
function Sharpness({ course }: { course: readonly number[] }) {
  const most = Math.max(...course, 1e-9);
  const now = (course.at(-1) ?? 0) / most;
  return (
    <figure class="sharpness" data-part="sharpness" data-seen={course.length}>
      <svg viewBox={`0 0 ${courseOf} 20`} preserveAspectRatio="none" aria-hidden="true" focusable="false">
        {course.map((s, i) => (
          <rect
            key={i}
            x={courseOf - course.length + i}
            width="0.8"
            y={20 - (20 * s) / most}
            height={(20 * s) / most}
          />
        ))}
      </svg>
      <figcaption class="small">{text.bench.camera.sharp(text.percent(now))}</figcaption>
    </figure>
  );
}
