import type { Signal } from "@preact/signals";
import { text } from "../../text";

/** Opens and closes the fields of a find or a hunt; fields is their element's id. */
export function EditButton({ editing, fields }: { editing: Signal<boolean>; fields: string }) {
  return (
    <button
      type="button"
      class="button wide"
      data-do="edit"
      aria-expanded={editing.value}
      aria-controls={fields}
      onClick={() => {
        editing.value = !editing.value;
      }}
    >
      {editing.value ? text.finds.editDone : text.finds.edit}
    </button>
  );
}
