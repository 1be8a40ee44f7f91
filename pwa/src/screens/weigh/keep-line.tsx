import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { HuntWords } from "./hunt-words";
import { TroubleWords } from "./trouble-words";

/** One tap keeps the coin on the pan, or the one just lifted; what more there is to say comes later. */
export function KeepLine() {
  const app = useApp();
  const records = app.records.value;
  const held = app.keepable.coin.value;
  const record = held && records ? records.keeper.kept.value.get(held.coinId) : undefined;
  const act = records?.acts.last.value;
  const trouble = records?.acts.trouble.value ?? null;
  const dismiss = () => {
    if (records) records.acts.trouble.value = null;
  };
  return (
    <div class="keep-line" data-part="keep-line">
      {held && record ? (
        <>
          <p class="keep-said" role="status">
            {text.finds.kept(held.label)}
          </p>
          {act?.what === "kept" && act.record === record && (
            <button type="button" class="quiet-button" data-do="undo" onClick={() => void records?.undo(act)}>
              {text.finds.undo}
            </button>
          )}
          <a class="field-button keep-details" data-do="open-find" href={`#/finds/${record}`}>
            {text.finds.details}
          </a>
        </>
      ) : (
        <button
          type="button"
          class="field-button keep"
          data-do="keep"
          disabled={!held || !records || records.keeper.keeping.value}
          onClick={() => held && void records?.keeper.keep(held)}
        >
          <I name="finds" />
          <span>
            {records?.keeper.keeping.value
              ? text.finds.keeping
              : held
                ? text.finds.keep(held.label)
                : text.finds.keepNone}
            <HuntWords />
          </span>
        </button>
      )}
      {trouble && <TroubleWords trouble={trouble} onDismiss={dismiss} />}
    </div>
  );
}
