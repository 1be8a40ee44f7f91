import type { Act } from "../../records/acts";
import { text } from "../../text";
import { TroubleWords } from "../weigh/trouble-words";
import { useRecords } from "./use";

/**
 * What was done last, and the way back from it, at the foot of the screen; what failed goes first.
 * An act that is named was done before, elsewhere, and isn't shown.
 */
export function UndoBar({ after = null }: { after?: Act | null }) {
  const records = useRecords();
  const last = records.acts.last.value;
  const act = last === after ? null : last;
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
