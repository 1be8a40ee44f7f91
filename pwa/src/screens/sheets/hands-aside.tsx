import type { AsideCoin } from "../../hands/hands";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { TroubleWords } from "../weigh/trouble-words";
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
          <div class="acts sheet-foot">
            <AsFind coin={coin} />
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
          </div>
        </>
      )}
    </Sheet>
  );
}

/** A coin worth keeping becomes a find right where it was looked at. */
function AsFind({ coin }: { coin: AsideCoin }) {
  const door = useApp().finds.value;
  if (!door) return null;
  const trouble = door.trouble.value;
  const act = door.lastAct.value;
  const done = door.asideKept.value.includes(coin.id);
  return (
    <>
      {done ? (
        <>
          <p role="status" data-part="is-find">
            {text.hands.isFind}
          </p>
          {act && door.asideAct(coin.id, act) && (
            <button type="button" class="button" data-do="undo-find" onClick={() => void door.undo(act)}>
              {text.hands.undo}
            </button>
          )}
        </>
      ) : (
        <button
          type="button"
          class="button strong"
          data-do="keep-opened"
          disabled={door.keeping.value}
          onClick={() => void door.keepAside([coin])}
        >
          {text.finds.asideKeep(1)}
        </button>
      )}
      {trouble && <TroubleWords trouble={trouble} />}
    </>
  );
}
