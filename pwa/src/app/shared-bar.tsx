import { useSignal } from "@preact/signals";
import { text } from "../text";
import { useView } from "./context";

/** Photos that were shared to the app wait here for a find. */
export function SharedBar() {
  const { shared } = useView();
  const asking = useSignal(false);
  const n = shared.waiting.value;
  if (n === 0) return null;
  return (
    <section class="newer" aria-label={text.shared.label} data-part="shared" data-waiting={n}>
      <p>{asking.value ? text.shared.dropAsk : text.shared.waiting(n)}</p>
      {asking.value && (
        <button
          type="button"
          class="button"
          onClick={() => {
            asking.value = false;
          }}
        >
          {text.shared.keep}
        </button>
      )}
      <button
        type="button"
        class="button"
        data-do="drop-shared"
        onClick={() => {
          if (asking.value) void shared.drop();
          asking.value = !asking.value;
        }}
      >
        {text.shared.drop}
      </button>
    </section>
  );
}
