import { text } from "../../text";
import { useApp } from "../../view/context";
import { cameraKind } from "../../weigh/keepable-coin";

/** The other ways to weigh: typing what a scale without a cable shows, and hands-free. */
export function WaysToWeigh() {
  const app = useApp();
  if (app.handsFree.on.value) return null;
  const r = app.live.reading.value;
  const byCamera = r.is === "weight" && r.scale?.kind === cameraKind;
  return (
    <p class="ways">
      <button
        type="button"
        class="quiet-button"
        data-do="type"
        onClick={() => {
          app.manualWeight.on.value = true;
        }}
      >
        {text.typed.openShort}
      </button>
      {!byCamera && (
        <button type="button" class="quiet-button" data-do="hands" onClick={() => app.beginHands()}>
          {text.hands.title}
        </button>
      )}
    </p>
  );
}
