import { text } from "../../text";
import { useView } from "../../view/context";
import { stepsFor } from "../../view/install";

/** In the settings: the way among the device's apps, as far as this browser goes. */
export function InstallPart() {
  const { install, copy } = useView();
  const state = install.state.value;
  const trusted = copy.state.value !== "untrusted" && copy.state.value !== "unsafe";
  const steps = text.install.steps[stepsFor(navigator.userAgent, navigator.maxTouchPoints)];
  return (
    <>
      <h3>{text.install.title}</h3>
      <div data-part="install" data-install={state}>
        {state === "app" && <p>{text.install.done}</p>}
        {state === "taken" && <p>{text.install.taken}</p>}
        {state === "offered" && (
          <>
            <p>{text.install.offer}</p>
            <button type="button" class="button" data-do="install" onClick={() => void install.take()}>
              {text.install.act}
            </button>
          </>
        )}
        {state === "steps" && !trusted && <p>{text.install.trustFirst}</p>}
        {state === "steps" && trusted && (
          <>
            <p>{text.install.offer}</p>
            <ol>
              {steps.map((step) => (
                <li key={step}>{step}</li>
              ))}
            </ol>
          </>
        )}
      </div>
    </>
  );
}
