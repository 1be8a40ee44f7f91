import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I } from "../../view/icons";

/** Another server answers where ours was: said once, with the way on. */
export function StrangerBar() {
  const app = useApp();
  const view = useView();
  if (!app.laptop.stranger.value) return null;
  return (
    <div class="problem-box stranger" role="alert" data-part="stranger">
      <I name="warning" />
      <p>{text.laptop.strange}</p>
      <button
        type="button"
        class="button"
        data-do="rejoin"
        onClick={() => {
          view.sheet.value = "rejoin";
        }}
      >
        {text.laptop.rejoin}
      </button>
    </div>
  );
}
