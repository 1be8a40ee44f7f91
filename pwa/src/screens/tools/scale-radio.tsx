import { useEffect, useMemo } from "preact/hooks";
import { type BrowserBluetooth, browserBluetooth, pickBy, RadioScale } from "../../scale/radio-scale";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";

/** A scale with Bluetooth's weight service, picked on this phone; nothing where the browser has no Bluetooth. */
export function RadioCard() {
  const bluetooth = browserBluetooth();
  return bluetooth ? <Inside bluetooth={bluetooth} /> : null;
}

function Inside({ bluetooth }: { bluetooth: BrowserBluetooth }) {
  const app = useApp();
  const scale = useMemo(() => new RadioScale(app.core, pickBy(bluetooth)), [app, bluetooth]);
  useEffect(() => () => scale.dispose(), [scale]);
  const state = scale.state.value;
  const weight = scale.weight.value;
  return (
    <section class="card" aria-labelledby="radio-title" data-part="radio-scale" data-state={state.is}>
      <h2 id="radio-title">{text.radioScale.title}</h2>
      <p>{text.radioScale.hint}</p>
      <div role="status">
        {state.is === "picking" && <p>{text.radioScale.picking}</p>}
        {state.is === "on" && <p>{text.radioScale.connected(state.name)}</p>}
        {weight?.value && (
          <p class="figures" data-part="radio-weight">
            {text.radioScale.sends(figure(weight.value), weight.unit)}
          </p>
        )}
        {weight?.sentence && (
          <p class="problem" data-part="radio-problem">
            {weight.sentence}
          </p>
        )}
      </div>
      {state.is === "trouble" && (
        <p class="problem" role="alert" data-part="radio-trouble" data-why={state.why}>
          {text.radioScale.troubles[state.why]}
        </p>
      )}
      <p class="acts">
        {state.is === "on" || state.is === "picking" ? (
          <button type="button" class="button" data-do="radio-stop" onClick={() => scale.stop()}>
            {text.radioScale.stop}
          </button>
        ) : (
          <button type="button" class="button" data-do="radio-pick" onClick={() => void scale.connect()}>
            {text.radioScale.pick}
          </button>
        )}
      </p>
    </section>
  );
}
