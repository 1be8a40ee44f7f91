import { text } from "../../text";
import { useView } from "../../view/context";

/** A newer version waits here until the person has a hand free for it. */
export function NewerBar() {
  const { copy } = useView();
  if (!copy.newer.value) return null;
  const change = copy.change.value;
  return (
    <div class="newer" role="status" data-part="newer" data-change={change}>
      <p>{text.offline.change[change]}</p>
      {change !== "changing" && (
        <button type="button" class="button" data-do="take-newer" onClick={() => copy.agree()}>
          {text.offline.take}
        </button>
      )}
    </div>
  );
}
