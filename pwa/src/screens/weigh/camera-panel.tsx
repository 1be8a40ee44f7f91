import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { uncertaintyText } from "./figures";

/** In the place of the live weight: what the camera reads off the display, pale until it is confirmed. */
export function CameraPanel() {
  const { camera, manualWeight } = useApp();
  const { digits, current } = manualWeight;
  const offered = camera.offered.value;
  const number = figure(offered || digits.value);
  const u = current.value?.question.u_g ?? 0;
  const why = camera.why.value;
  return (
    <section
      class="weight by-camera"
      aria-label={text.camera.reads}
      data-is="camera"
      data-part="camera-panel"
      data-reads={camera.text.value}
      data-why={why}
    >
      <div class="weight-top">
        <p class="phase" data-part="phase" data-phase="camera">
          <I name="camera" />
          <span>{text.camera.reads}</span>
        </p>
        <a class="quiet-button" href="#/camera" data-do="camera-settings">
          {text.camera.settings}
        </a>
        <button
          type="button"
          class="button back-to-scale"
          data-do="back-to-scale"
          onClick={() => {
            manualWeight.on.value = false;
          }}
        >
          {text.typed.back}
        </button>
      </div>
      <p
        class="digits"
        data-len={Math.min(8, Math.max(4, number.length))}
        data-unconfirmed={offered !== "" || undefined}
      >
        <output data-part="weight" aria-label={text.camera.reads}>
          {number || text.weight.noNumber}
        </output>
        {number && (
          <span class="unit" data-part="unit">
            g
          </span>
        )}
      </p>
      {why ? (
        <p class="problem" role="alert" data-part="camera-why" data-why={why}>
          {text.camera.whys[why]}
        </p>
      ) : (
        <p class="weight-hint" data-part="camera-hint">
          {offered
            ? text.camera.compare
            : digits.value
              ? `${text.camera.taken}${u > 0 ? ` · ${text.weight.within(uncertaintyText(2 * u))}` : ""}`
              : text.camera.putOn}
        </p>
      )}
    </section>
  );
}
