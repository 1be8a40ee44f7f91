import { text } from "../../text";
import { useApp } from "../../view/context";
import "./camera-strip.css";

/** What the camera reads, and the tap that takes it; nothing while no display is taught. */
export function CameraStrip() {
  const { camera, manualWeight } = useApp();
  if (camera.state.value.is !== "reading") return null;
  const read = camera.text.value;
  const taken = camera.taken.value !== "" && camera.taken.value === read;
  return (
    <div class="camera-strip" data-part="camera-strip" data-why={camera.why.value} data-reads={read}>
      <p>
        <span class="camera-mark">{taken ? text.camera.taken : text.camera.reads}</span>{" "}
        {camera.why.value ? (
          <span class="problem" role="alert">
            {text.camera.whys[camera.why.value]}
          </span>
        ) : (
          !taken && (read || text.camera.nothing)
        )}
      </p>
      {Number(read) > 0 && !taken && (
        <button
          type="button"
          class="button main"
          data-do="take-read"
          onClick={() => {
            const digits = camera.take();
            if (digits === "") return;
            manualWeight.next();
            manualWeight.digits.value = digits;
          }}
        >
          {text.camera.use(read)}
        </button>
      )}
      <a class="quiet-button" href="#/camera" data-do="camera-settings">
        {text.camera.settings}
      </a>
    </div>
  );
}
