import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { type Lack, type Step, steps } from "../../weigh/digits";
import { readsByCamera } from "./camera-keys";
import { CameraPanel } from "./camera-panel";
import { uncertaintyText } from "./figures";

/** In the place of the live weight: what was typed, what it still lacks, and the way back. */
export function ManualWeightPanel() {
  const app = useApp();
  if (readsByCamera(app)) return <CameraPanel />;
  const { digits, lack, step, current } = app.manualWeight;
  const u = current.value?.question.u_g ?? 0;
  const said = lackWords(lack.value);
  return (
    <section class="weight typed" aria-label={text.typed.title} data-is="typed">
      <div class="weight-top">
        <p class="phase" data-part="phase" data-phase="typed">
          <I name="digits" />
          <span>{text.typed.title}</span>
        </p>
        <WayBack />
      </div>
      <p class="digits" data-len={Math.min(8, Math.max(4, digits.value.length))}>
        <output data-part="weight" aria-label={text.typed.title}>
          {figure(digits.value) || text.weight.noNumber}
        </output>
        <span class="typed-caret" aria-hidden="true" />
        <span class="unit" data-part="unit">
          g
        </span>
      </p>
      <div class="typed-line">
        <p class="weight-hint" data-part="lack" data-lack={lack.value.is}>
          {said || (u > 0 && text.weight.within(uncertaintyText(2 * u)))}
        </p>
        <label class="typed-step" title={text.typed.stepTitle}>
          <span>{text.typed.step}</span>
          <select
            name="step"
            value={step.value}
            onChange={(e) => {
              step.value = e.currentTarget.value as Step;
            }}
          >
            {steps.map((s) => (
              <option key={s} value={s}>
                {s ? text.typed.grams(s) : text.typed.asTyped}
              </option>
            ))}
          </select>
        </label>
      </div>
    </section>
  );
}

/** From typing to what reads the scale. */
function WayBack() {
  const { camera, manualWeight } = useApp();
  const toCamera = camera.state.value.is === "reading";
  return (
    <button
      type="button"
      class="button back-to-scale"
      data-do={toCamera ? "back-to-camera" : "back-to-scale"}
      onClick={() => {
        if (toCamera) camera.typing.value = false;
        else manualWeight.on.value = false;
      }}
    >
      {toCamera ? text.camera.back : text.typed.back}
    </button>
  );
}

function lackWords(lack: Lack): string {
  switch (lack.is) {
    case "nothing-typed":
      return text.typed.none;
    case "more":
      return text.typed.more(lack.decimals);
    case "between":
      return text.typed.between(lack.step);
    case "zero":
      return text.typed.zero;
    case "complete":
      return "";
  }
}
