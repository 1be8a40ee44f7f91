import { yearsOf } from "../../core/marks";
import type { Denomination } from "../../core/types";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { Sheet } from "./sheet";

/** Every denomination of the coin book, also those no longer struck. */
export function DenominationsSheet() {
  const app = useApp();
  const view = useView();
  const picked = app.prefs.denomination.value;
  return (
    <Sheet name="denominations" title={text.keys.label}>
      <ul class="plain choices">
        {app.denominations.value.map((d) => (
          <li key={d.id}>
            <button
              type="button"
              class="choice"
              data-denomination={d.id}
              aria-pressed={d.id === picked}
              onClick={() => {
                app.pick(d.id);
                view.sheet.value = null;
              }}
            >
              <span class="choice-short">{d.short}</span>
              <span>{d.name}</span>
              <Years d={d} />
            </button>
          </li>
        ))}
      </ul>
    </Sheet>
  );
}

function Years({ d }: { d: Denomination }) {
  const years = yearsOf(d);
  if (!years) return null;
  return (
    <span class="quiet figures">
      {years.first}–{years.last}
    </span>
  );
}
