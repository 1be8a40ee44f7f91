import { I } from "../../view/icons";

/** The photos that are chosen, one after the other. */
export function ChoosePhoto(props: {
  words: string;
  many?: boolean;
  /** The next waits for what it gives. */
  onFile: (file: File) => unknown;
}) {
  return (
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
          for (const file of files) await props.onFile(file);
        }}
      />
    </label>
  );
}
