import type { App } from "../../app/interface";
import { text } from "../../text";
import { useApp } from "../../view/context";
import "./camera-keys.css";

/** Whether this phone's camera reads the display, and nobody types beside it. */
export const readsByCamera = ({ camera, manualWeight }: Pick<App, "camera" | "manualWeight">): boolean =>
  manualWeight.on.value && camera.state.value.is === "reading" && !camera.typing.value;

/** Whether what another phone's camera read waits for a tap here. */
export const waitsForTap = ({ live, manualWeight }: Pick<App, "live" | "manualWeight">): boolean => {
  const r = live.reading.value;
  return !manualWeight.on.value && r.is === "weight" && r.unconfirmed !== null;
};

/** In the place of the figures: what the camera reads counts once it is tapped. */
export function CameraKeys() {
  const { camera, manualWeight } = useApp();
  const offered = camera.offered.value;
  return (
    <div class="camera-keys">
      <TakeKey
        offered={offered}
        otherwise={camera.taken.value ? text.camera.taken : text.camera.nothing}
        take={() => {
          const digits = camera.take();
          if (digits !== "") manualWeight.confirmed(digits);
        }}
      />
      <button
        type="button"
        class="button"
        data-do="type-beside"
        onClick={() => {
          camera.typing.value = true;
        }}
      >
        {text.typed.openShort}
      </button>
    </div>
  );
}

/** The same for what a phone's camera sends through the laptop. */
export function ConfirmKey() {
  const { live, confirmRead } = useApp();
  const r = live.reading.value;
  const offered = r.is === "weight" ? (r.unconfirmed?.shown ?? "") : "";
  return (
    <div class="camera-keys">
      <TakeKey offered={offered} otherwise={text.camera.nothing} take={confirmRead} />
    </div>
  );
}

function TakeKey(props: { offered: string; otherwise: string; take(): void }) {
  return (
    <button
      type="button"
      class="button main camera-take"
      data-do="take-read"
      aria-disabled={props.offered === ""}
      onClick={props.take}
    >
      {props.offered ? text.camera.use(props.offered) : props.otherwise}
    </button>
  );
}
