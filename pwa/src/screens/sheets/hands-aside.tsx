import type { AsideCoin } from "../../hands/hands";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { TroubleWords } from "../weigh/trouble-words";
import { VerdictOf } from "../weigh/verdict-card";
import { Sheet } from "./sheet";

/** One coin of the set-aside list, with all that its weight said. */
export function AsideSheet() {
  const { handsFree } = useApp();
  const view = useView();
  const coin = handsFree.list.aside.value.find((a) => a.id === view.aside.value);
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
                handsFree.remove(coin.id);
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
  const records = useApp().records.value;
  if (!records) return null;
  const trouble = records.acts.trouble.value;
  const act = records.acts.last.value;
  const done = records.keeper.asideKept.value.includes(coin.id);
  return (
    <>
      {done ? (
        <>
          <p role="status" data-part="is-find">
            {text.hands.isFind}
          </p>
          {act && records.keeper.asideAct(coin.id, act) && (
            <button type="button" class="button" data-do="undo-find" onClick={() => void records.undo(act)}>
              {text.hands.undo}
            </button>
          )}
        </>
      ) : (
        <button
          type="button"
          class="button strong"
          data-do="keep-opened"
          disabled={records.keeper.keeping.value}
          onClick={() => void records.keeper.keepAside([coin])}
        >
          {text.finds.asideKeep(1)}
        </button>
      )}
      {trouble && <TroubleWords trouble={trouble} />}
    </>
  );
}
