import { type Signal, useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { type CoinList, type Issue, readCoins } from "../../core/coins";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { addressOf } from "../../view/places";
import { yearsWords } from "./coin-words";
import { IssuePage } from "./issue";
import { ToolPage, toWeighing } from "./page";
import { PlanchetFigures, Row, Whence, Years } from "./planchet-figures";
import { useAsking } from "./use-asking";

/** How many coins are listed before “show all”. */
const firstCoins = 40;

/** The coin book: a list to search, or one coin's page. */
export function BookScreen({ id }: { id: string }) {
  return id ? <IssuePage key={id} id={id} /> : <BookList />;
}

function BookList() {
  const app = useApp();
  const { search, country, denomination } = useView().book;
  const asking = useAsking<CoinList>("coins", readCoins);
  const all = useSignal(false);
  const countries = app.catalogue.countries.value ?? [];
  const denominations = countries.find((c) => c.id === country.value)?.denominations ?? [];
  const question = {
    text: search.value,
    country: country.value,
    denomination: denomination.value,
  };
  // Asked again when one of the values changes
  useEffect(() => {
    void asking.ask(question);
    all.value = false;
  }, [asking, question.text, question.country, question.denomination, app.judge.value === "waiting"]);
  const view = asking.view.value;
  return (
    <ToolPage tool="book" title={text.toolbox.names.book} back={toWeighing}>
      <form class="tool-form" role="search" onSubmit={(e) => e.preventDefault()}>
        <label class="field wide">
          <span>{text.book.search}</span>
          <input
            type="search"
            name="search"
            autocomplete="off"
            enterKeyHint="search"
            placeholder={text.book.searchHint}
            value={search.value}
            onInput={(e) => {
              search.value = e.currentTarget.value;
            }}
          />
        </label>
        <Choice
          label={text.book.country}
          name="country"
          every={text.book.everyCountry}
          value={country}
          options={countries}
          onPick={() => {
            denomination.value = "";
          }}
        />
        <Choice
          label={text.book.denomination}
          name="denomination"
          every={text.book.everyDenomination}
          value={denomination}
          options={denominations}
        />
      </form>
      <p class="quiet" role="status">
        {view.is === "answer" ? text.book.count(view.value.coins.length) : text.toolbox.asking}
      </p>
      {view.is === "failed" && <p class="problem">{view.fault.sentence || text.toolbox.failed}</p>}
      {view.is === "answer" && view.value.coins.length + view.value.guests.length === 0 && (
        <p>{text.book.nothing}</p>
      )}
      {view.is === "answer" && view.value.coins.length > 0 && <Coins coins={view.value.coins} all={all} />}
      {view.is === "answer" && view.value.guests.length > 0 && <Guests list={view.value} />}
    </ToolPage>
  );
}

function Coins({ coins, all }: { coins: Issue[]; all: Signal<boolean> }) {
  const shown = all.value ? coins : coins.slice(0, firstCoins);
  return (
    <>
      <ul class="plain coins" data-part="coins">
        {shown.map((c) => (
          <li key={c.id}>
            <a class="coin-row" href={addressOf("book", c.id)} data-issue={c.id}>
              <span class="coin-name">
                {c.name}
                <span class="quiet">{c.alloy.name}</span>
              </span>
              <span class="coin-figures figures">
                {yearsWords(c)}
                <span class="quiet">{c.mass.text}</span>
              </span>
            </a>
          </li>
        ))}
      </ul>
      {!all.value && coins.length > firstCoins && (
        <button
          type="button"
          class="button wide"
          data-do="all-coins"
          onClick={() => {
            all.value = true;
          }}
        >
          {text.book.showAll(coins.length)}
        </button>
      )}
    </>
  );
}

/** What was struck in a country's mints for another one; each opens to its figures and their sources. */
function Guests({ list: { guests, sources } }: { list: CoinList }) {
  const countries = useApp().catalogue.countries.value;
  const place = (id: string) => countries?.find((c) => c.id === id)?.name ?? id;
  return (
    <section class="card" aria-labelledby="guests-title" data-part="guests">
      <h2 id="guests-title">{text.book.guests}</h2>
      <p class="quiet small">{text.book.guestsHint}</p>
      {guests.map((g) => (
        <details key={g.country + g.name + yearsWords(g)} class="figure-row guest">
          <summary>
            <span class="coin-name">
              {g.name}
              <span class="quiet">{text.book.guestOf(place(g.country), g.alloy.name)}</span>
            </span>
            <span class="coin-figures figures">
              {yearsWords(g)}
              <span class="quiet">{g.mass.text}</span>
            </span>
          </summary>
          <div class="inside">
            <Row
              name={text.book.years}
              part="struck"
              words={<Years spans={g.spans} />}
              whence={<Whence origin={g.by} sources={sources} hint="" />}
            />
            <PlanchetFigures p={g} sources={sources} />
          </div>
        </details>
      ))}
    </section>
  );
}

/** One of a short list, or every one. */
function Choice(props: {
  label: string;
  name: string;
  every: string;
  value: Signal<string>;
  options: { id: string; name: string }[];
  onPick?: () => void;
}) {
  return (
    <label class="field">
      <span>{props.label}</span>
      <select
        name={props.name}
        value={props.value.value}
        onChange={(e) => {
          props.value.value = e.currentTarget.value;
          props.onPick?.();
        }}
      >
        <option value="">{props.every}</option>
        {props.options.map((o) => (
          <option key={o.id} value={o.id}>
            {o.name}
          </option>
        ))}
      </select>
    </label>
  );
}
