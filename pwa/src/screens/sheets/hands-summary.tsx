import { useEffect } from "preact/hooks";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { Tiles } from "../weigh/hands-tally";
import { Sheet } from "./sheet";

/** What a sitting came to, once it has ended. */
export function HandsSummarySheet() {
  const { handsFree } = useApp();
  const view = useView();
  const s = handsFree.summary.value;
  useEffect(() => {
    if (s) view.sheet.value = "hands-summary";
  }, [s, view]);
  return (
    <Sheet name="hands-summary" title={text.hands.summaryTitle}>
      {s && (
        <div class="hands-summary" data-part="summary" data-coins={s.coins} data-keepers={s.keepers}>
          <p class="summary-head">{text.hands.said.summary(s)}</p>
          <Tiles rows={s.rows} />
          {s.keepers > 0 && <p>{text.hands.keepersTotal(s.keepers)}</p>}
          {s.aside.length > 0 && <p>{text.hands.toLookAt(s.aside)}</p>}
          {s.missed > 0 && <p class="quiet">{text.hands.missed(s.missed)}</p>}
          {s.unseen > 0 && <p class="quiet">{text.hands.unseen(s.unseen)}</p>}
          {s.aside.length > 0 && (
            <p class="acts">
              <button
                type="button"
                class="button"
                data-do="to-finds"
                onClick={() => {
                  view.sheet.value = null;
                  location.hash = "#/finds";
                }}
              >
                {text.hands.summaryFinds}
              </button>
            </p>
          )}
        </div>
      )}
    </Sheet>
  );
}
