import { text } from "../../text";
import { useApp } from "../../view/context";

/** The other ways to weigh: typing what a scale without a cable shows, and hands-free. */
export function WaysToWeigh() {
  const app = useApp();
  if (app.handsFree.on.value) return null;
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
      <button type="button" class="quiet-button" data-do="hands" onClick={() => app.beginHands()}>
        {text.hands.title}
      </button>
    </p>
  );
}
