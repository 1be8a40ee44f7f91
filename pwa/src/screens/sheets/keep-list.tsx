import { useSignal } from "@preact/signals";
import type { Want } from "../../core/types";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { Check, Entry } from "../form/controls";
import { KeepListChange } from "../weigh/keep-list-change";
import { Sheet } from "./sheet";

/** What this hunter keeps although it is regular: the coin book's wants, and dates. */
export function KeepListSheet() {
  const { keepList, prefs } = useApp();
  const { wants } = keepList;
  const chosen = wants.value.filter((c) => prefs.countries.value.includes(c.country.id));
  const shown = chosen.length > 0 ? chosen : wants.value;
  return (
    <Sheet name="keep-list" title={text.keepList.title}>
      <p class="quiet">{text.keepList.intro}</p>
      <KeepListChange undo="undo-keep-list" />
      {wants.value.length > 0 && keepList.entries.value.length === 0 && <p>{text.keepList.nothing}</p>}
      {wants.value.length === 0 && <p class="quiet">{text.keepList.loading}</p>}
      {shown.map(({ country, wants: of }) => (
        <fieldset key={country.id} class="keep-wants">
          <legend>{country.name}</legend>
          {of.map((w) => (
            <WantSwitch key={w.id} want={w} />
          ))}
        </fieldset>
      ))}
      <Dates />
    </Sheet>
  );
}

function WantSwitch({ want }: { want: Want }) {
  const { keepList } = useApp();
  return (
    <div class="keep-want" data-want={want.id}>
      <Check
        name={`want-${want.id}`}
        label={want.name}
        on={keepList.entries.value.includes(want.id)}
        onPick={(on) => (on ? keepList.add([want]) : keepList.remove(want))}
      />
      {want.note && <p class="quiet small">{want.note}</p>}
    </div>
  );
}

function Dates() {
  const { keepList } = useApp();
  const typed = useSignal("");
  const wrong = useSignal(false);
  const dates = keepList.dates.value;
  return (
    <section class="keep-dates" aria-label={text.keepList.dates}>
      <h3>{text.keepList.dates}</h3>
      {dates.length === 0 ? (
        <p class="quiet">{text.keepList.noDates}</p>
      ) : (
        <ul class="plain given-list">
          {dates.map((d) => (
            <li key={d}>
              <button
                type="button"
                class="button given-one"
                data-date={d}
                onClick={() => keepList.remove({ id: d, name: d })}
              >
                <span class="unseen">{text.keepList.remove(d)}</span>
                <span aria-hidden="true">{d}</span>
                <I name="clear" />
              </button>
            </li>
          ))}
        </ul>
      )}
      <form
        class="tell-size"
        noValidate
        onSubmit={async (e) => {
          e.preventDefault();
          const meant = await keepList.meant(typed.value);
          wrong.value = meant.length === 0;
          if (wrong.value) return;
          keepList.add(meant);
          typed.value = "";
        }}
      >
        <Entry
          name="keep-date"
          label={text.keepList.date}
          mode="text"
          value={typed.value}
          wrong={wrong.value}
          onType={(t) => {
            typed.value = t;
          }}
        />
        <button type="submit" class="button" data-do="add-date">
          {text.keepList.add}
        </button>
        {wrong.value && (
          <p class="problem small" role="alert">
            {text.keepList.badDate}
          </p>
        )}
      </form>
      <p class="quiet small">{text.keepList.datesHint}</p>
    </section>
  );
}
