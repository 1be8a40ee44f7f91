import { useSignal } from "@preact/signals";
import { type Trouble, troubleOf } from "../../records/trouble";
import { I } from "../../view/icons";
import { NotOpened } from "./not-opened";

/** The photos that are chosen, one after the other, until one can't be opened. */
export function ChoosePhoto(props: {
  words: string;
  many?: boolean;
  /** The next waits for what it gives; one that rejects is said, and ends it. */
  onFile: (file: File) => unknown;
}) {
  const trouble = useSignal<Trouble | null>(null);
  return (
    <>
      <label class="button photo-take">
        <I name="camera" />
        <span>{props.words}</span>
        <input
          type="file"
          name="picture"
          class="unseen"
          accept="image/jpeg,image/png,image/webp"
          multiple={props.many}
          onChange={async (e) => {
            const input = e.currentTarget;
            const files = [...(input.files ?? [])];
            input.value = "";
            trouble.value = null;
            try {
              for (const file of files) await props.onFile(file);
            } catch (cause) {
              trouble.value = troubleOf(cause);
            }
          }}
        />
      </label>
      {trouble.value && <NotOpened trouble={trouble.value} />}
    </>
  );
}
