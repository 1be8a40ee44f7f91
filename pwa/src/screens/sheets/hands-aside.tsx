import { useApp, useView } from "../../app/context";
import { text } from "../../text";
import { VerdictOf } from "../weigh/verdict-card";
import { Sheet } from "./sheet";

/** One coin of the set-aside list, with all that its weight said. */
export function AsideSheet() {
  const { hands } = useApp();
  const view = useView();
  const coin = hands.list.aside.value.find((a) => a.id === view.aside.value);
  const title = coin ? text.hands.asideNumber(coin.number) : text.hands.asideTitle;
  const q = coin?.question;
  return (
    <Sheet name="aside" title={title}>
      {coin && q && (
        <>
          <VerdictOf
            shown={{
              verdict: coin.verdict,
              placement: coin.placement as never,
              settled: true,
              asked: "",
              question: q,
            }}
            last=""
          />
          <p class="acts">
            <button
              type="button"
              class="button"
              data-do="remove-opened"
              onClick={() => {
                hands.remove(coin.id);
                view.sheet.value = null;
              }}
            >
              {text.hands.remove}
            </button>
          </p>
        </>
      )}
    </Sheet>
  );
}
