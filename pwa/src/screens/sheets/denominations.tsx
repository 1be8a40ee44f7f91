import { yearsOf } from "../../core/marks";
import type { Country, Denomination } from "../../core/types";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { Check } from "../form/controls";
import { Sheet } from "./sheet";

/** Every denomination of the coin book, also those no longer struck, and whose coins have their keys below the scale. */
export function DenominationsSheet() {
  const { catalogue, prefs } = useApp();
  const countries = catalogue.countries.value ?? [];
  const chosen = prefs.countries;
  return (
    <Sheet name="denominations" title={text.keys.all}>
      <fieldset class="choice-row countries">
        <legend>{text.keys.countries}</legend>
        {countries.map((c) => (
          <Check
            key={c.id}
            name={`country-${c.id}`}
            label={c.name}
            on={chosen.value.includes(c.id)}
            onPick={(on) => {
              const others = chosen.peek().filter((id) => id !== c.id);
              if (on) chosen.value = [...others, c.id];
              else if (others.length > 0) chosen.value = others; // some keys there must be
            }}
          />
        ))}
      </fieldset>
      {countries.map((c) => (
        <CountryCoins key={c.id} country={c} />
      ))}
    </Sheet>
  );
}

function CountryCoins({ country }: { country: Country }) {
  const app = useApp();
  const view = useView();
  const picked = app.denomination.value;
  return (
    <section aria-label={country.name}>
      <h3>{country.name}</h3>
      <ul class="plain coin-choices">
        {country.denominations.map((d) => (
          <li key={d.id}>
            <button
              type="button"
              class="choice"
              data-denomination={d.id}
              data-country={country.id}
              aria-pressed={d === picked}
              onClick={() => {
                app.pick(d.id, country.id);
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
    </section>
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
