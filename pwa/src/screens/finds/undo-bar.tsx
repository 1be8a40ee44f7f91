import { text } from "../../text";
import { TroubleWords } from "../weigh/trouble-words";
import { useRecords } from "./use";

/** What was done last, and the way back from it, at the foot of the screen; what failed goes first. */
export function UndoBar() {
  const records = useRecords();
  const act = records.acts.last.value;
  const trouble = records.acts.trouble.value;
  if (!act && !trouble) return null;
  return (
    <div class="undo-bar">
      {trouble && (
        <TroubleWords
          trouble={trouble}
          onDismiss={() => {
            records.acts.trouble.value = null;
          }}
        />
      )}
      {act && !trouble && (
        <div class="undo-line">
          <p role="status" data-part="saved">
            {text.finds.acts[act.what]}
          </p>
          <button type="button" class="button" data-do="undo" onClick={() => void records.undo(act)}>
            {act.what === "undone" ? text.finds.redo : text.finds.undo}
          </button>
        </div>
      )}
    </div>
  );
}
