import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { coinOn, type Dated, readDated } from "../../core/dated";
import type { KeyKind } from "../../core/identification";
import type { CoinOf } from "../../core/journal";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { langOf, rarityWords, sideWords } from "../weigh/look-words";
import { TroubleWords } from "../weigh/trouble-words";
import { useAsking } from "./use-asking";

/** Dates listed at first. */
const firstDates = 8;

/** What follows a name: the dates that it is known for, and the way to keep the coin as that. */
export function Identified({ kind }: { kind: KeyKind }) {
  const app = useApp();
  const held = app.keepable.coin.value;
  const { country, denomination } = held?.coin ?? {
    country: app.prefs.country.value,
    denomination: app.prefs.denomination.value,
  };
  const chosen = useSignal<Dated | null>(null);
  const name = (app.catalogue.countries.value ?? [])
    .find((c) => c.id === country)
    ?.denominations.find((d) => d.id === denomination)?.name;
  return (
    <>
      {denomination && (
        <KnownDates
          kind={kind}
          country={country}
          denomination={denomination}
          name={name ?? denomination}
          chosen={chosen.value}
          onChoose={(d) => {
            chosen.value = chosen.value === d ? null : d;
          }}
        />
      )}
      {!kind.lookAlike && (
        <KeepAs kind={kind} coin={denomination ? { country, denomination } : null} date={chosen.value} />
      )}
    </>
  );
}

function KnownDates(props: {
  kind: KeyKind;
  country: string;
  denomination: string;
  name: string;
  chosen: Dated | null;
  onChoose(d: Dated): void;
}) {
  const { kind, country, denomination, chosen } = props;
  const app = useApp();
  const asking = useAsking<Dated[]>("dated", readDated);
  const all = useSignal(false);
  const waiting = app.coreHost.value === "waiting";
  useEffect(() => {
    void asking.ask({ country, denomination, kind: kind.id });
  }, [asking, country, denomination, kind.id, waiting]);
  const view = asking.view.value;
  const dates = view.is === "answer" ? view.value : [];
  const shown = all.value ? dates : dates.slice(0, firstDates);
  return (
    <section aria-labelledby="known-dates" data-part="known-dates" data-count={dates.length}>
      <h3 id="known-dates">{text.identify.dates(props.name)}</h3>
      {view.is === "answer" && dates.length === 0 && <p class="quiet">{text.identify.noDates}</p>}
      {view.is === "failed" && <p class="problem">{view.fault.sentence || text.toolbox.failed}</p>}
      <ul class="plain known-dates">
        {shown.map((d) => (
          <li key={`${d.years}/${d.mints.join()}/${d.name}`}>
            <button
              type="button"
              class="choice"
              data-date={d.years}
              aria-pressed={d === chosen}
              onClick={() => props.onChoose(d)}
            >
              <strong>{text.identify.date(d.years, d.mints)}</strong>
              <span>
                <span lang={langOf(d, "name")}>{d.name}</span>
                <small class="quiet known-date-where">
                  {sideWords(d.side)}
                  {d.where && <span lang={langOf(d, "where")}> · {d.where}</span>}
                  {d.rarity && ` · ${rarityWords(d.rarity)}`}
                </small>
              </span>
            </button>
          </li>
        ))}
      </ul>
      {dates.length > shown.length && (
        <button
          type="button"
          class="button"
          data-do="all-dates"
          onClick={() => {
            all.value = true;
          }}
        >
          {text.identify.allDates(dates.length)}
        </button>
      )}
    </section>
  );
}

/** Keeps the weighed coin as this kind, or one without a weight; on the date that was picked. */
function KeepAs({ kind, coin, date }: { kind: KeyKind; coin: CoinOf | null; date: Dated | null }) {
  const app = useApp();
  const records = app.records.value;
  const held = app.keepable.coin.value;
  const kept = useSignal("");
  if (!records || !coin) return null;
  const act = records.acts.last.value;
  const trouble = records.acts.trouble.value;
  const asked = {
    ...(app.date.askYear ? { year: app.date.askYear } : {}),
    ...(app.date.mint.value ? { mint: app.date.mint.value } : {}),
  };
  const keep = (of: typeof held) => {
    const known = of?.coin ?? { ...coin, ...asked };
    void records.keepAs(kind.id, { ...known, ...(date ? coinOn(date) : {}) }, of).then((record) => {
      kept.value = record ?? "";
    });
  };
  return (
    <section class="keep-as" data-part="keep-as">
      {kept.value ? (
        <p class="acts">
          <span role="status" data-part="kept-as">
            {text.identify.keptAs(kind.name)}
          </span>
          {act && act.record === kept.value && act.what !== "undone" && (
            <button
              type="button"
              class="button"
              data-do="undo"
              onClick={() => {
                kept.value = "";
                void records.undo(act);
              }}
            >
              {text.finds.undo}
            </button>
          )}
          <a class="button" data-do="open-find" href={`#/finds/${kept.value}`}>
            {text.finds.details}
          </a>
        </p>
      ) : (
        <p class="acts">
          {held && (
            <button
              type="button"
              class="button strong"
              data-do="keep-as"
              disabled={records.keeper.keeping.value}
              onClick={() => keep(held)}
            >
              {text.identify.keepWeighed(held.label)}
            </button>
          )}
          <button
            type="button"
            class={held ? "button" : "button strong"}
            data-do="keep-as-unweighed"
            disabled={records.keeper.keeping.value}
            onClick={() => keep(null)}
          >
            {held ? text.identify.keepUnweighed : text.identify.keepAs}
          </button>
        </p>
      )}
      {trouble && (
        <TroubleWords
          trouble={trouble}
          onDismiss={() => {
            records.acts.trouble.value = null;
          }}
        />
      )}
    </section>
  );
}
