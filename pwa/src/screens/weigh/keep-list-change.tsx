import { text } from "../../text";
import { useApp } from "../../view/context";

/** What was put on the list of what is kept, or taken off it, last, to be taken back; undo names the button. */
export function KeepListChange({ undo }: { undo: string }) {
  const { keepList } = useApp();
  const changed = keepList.undoable.value;
  if (!changed) return null;
  return (
    <p class="wanted-changed" role="status">
      <span>{(changed.added ? text.keepList.added : text.keepList.removed)(changed.names.join(", "))}</span>
      <button type="button" class="quiet-button" data-do={undo} onClick={() => keepList.undo()}>
        {text.question.undo}
      </button>
    </p>
  );
}
