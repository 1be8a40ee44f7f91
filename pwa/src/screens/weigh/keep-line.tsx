import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { HuntWords } from "./hunt-words";
import { TroubleWords } from "./trouble-words";

/** One tap keeps the coin on the pan, or the one just lifted; what more there is to say comes later. */
export function KeepLine() {
  const app = useApp();
  const door = app.finds.value;
  const held = app.heldCoin.held.value;
  const record = held && door ? door.kept.value.get(held.key) : undefined;
  const act = door?.lastAct.value;
  const trouble = door?.trouble.value ?? null;
  const dismiss = () => {
    if (door) door.trouble.value = null;
  };
  return (
    <div class="keep-line" data-part="keep-line">
      {held && record ? (
        <>
          <p class="keep-said" role="status">
            {text.finds.kept(held.label)}
          </p>
          {act?.what === "kept" && act.record === record && (
            <button type="button" class="field-button" data-do="undo" onClick={() => void door?.undo(act)}>
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
          disabled={!held || !door || door.keeping.value}
          onClick={() => held && void door?.keep(held)}
        >
          <I name="finds" />
          <span>
            {door?.keeping.value
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
