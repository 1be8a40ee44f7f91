import type { App } from "../../app/interface";
import { text } from "../../text";
import { useApp } from "../../view/context";
import "./camera-keys.css";

/** Whether this phone's camera reads the display, and nobody types beside it. */
export const readsByCamera = ({ camera, manualWeight }: Pick<App, "camera" | "manualWeight">): boolean =>
  manualWeight.on.value && camera.state.value.is === "reading" && !camera.typing.value;

/** In the place of the figures: what the camera reads counts once it is tapped. */
export function CameraKeys() {
  const { camera, manualWeight } = useApp();
  const offered = camera.offered.value;
  return (
    <div class="camera-keys">
      <button
        type="button"
        class="button main camera-take"
        data-do="take-read"
        aria-disabled={offered === ""}
        onClick={() => {
          const digits = camera.take();
          if (digits !== "") manualWeight.confirmed(digits);
        }}
      >
        {offered ? text.camera.use(offered) : camera.taken.value ? text.camera.taken : text.camera.nothing}
      </button>
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
