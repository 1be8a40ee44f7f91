import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { type Lack, type Step, steps } from "../../weigh/digits";
import { CameraStrip } from "./camera-strip";
import { uncertaintyText } from "./figures";

/** In the place of the live weight: what was typed, what it still lacks, and the way back. */
export function ManualWeightPanel() {
  const app = useApp();
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
        <button
          type="button"
          class="button back-to-scale"
          data-do="back-to-scale"
          onClick={() => {
            app.manualWeight.on.value = false;
          }}
        >
          {text.typed.back}
        </button>
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
      <CameraStrip />
    </section>
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
