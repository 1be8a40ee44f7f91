import { text } from "../../text";
import { useView } from "../../view/context";

/** Photos that were shared to the app wait here for a find. */
export function SharedBar() {
  const { shared } = useView();
  const n = shared.waiting.value;
  const thrown = shared.thrown.value;
  if (n === 0 && thrown === 0) return null;
  return (
    <section
      class="newer"
      aria-label={text.shared.label}
      data-part="shared"
      data-waiting={n}
      data-thrown={thrown || undefined}
    >
      <p role="status">{n > 0 ? text.shared.waiting(n) : text.shared.thrown(thrown)}</p>
      {n > 0 ? (
        <button type="button" class="button" data-do="drop-shared" onClick={() => void shared.throwAway()}>
          {text.shared.drop}
        </button>
      ) : (
        <>
          <button type="button" class="button" data-do="undo-shared" onClick={() => void shared.takeBack()}>
            {text.finds.undo}
          </button>
          <button type="button" class="button" data-do="forget-shared" onClick={() => void shared.forget()}>
            {text.finds.dismiss}
          </button>
        </>
      )}
    </section>
  );
}
