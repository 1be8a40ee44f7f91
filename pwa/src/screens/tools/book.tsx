import { type Signal, useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { type CoinList, type Issue, readCoins } from "../../core/coins";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { addressOf } from "../../view/places";
import { Select } from "../form/controls";
import { yearsWords } from "./coin-words";
import { IssuePage } from "./issue";
import { ToolPage, toWeighing } from "./page";
import { useAsking } from "./use-asking";
import { CoinLine, WorldCoins } from "./world-coins";

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
  }, [asking, question.text, question.country, question.denomination, app.coreHost.value === "waiting"]);
  const view = asking.view.value;
  return (
    <ToolPage tool="book" title={text.toolbox.names.book} back={toWeighing()}>
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
        <Select
          label={text.book.country}
          name="country"
          none={text.book.everyCountry}
          value={country.value}
          options={countries.map((c) => ({ id: c.id, words: c.name }))}
          onPick={(id) => {
            country.value = id;
            denomination.value = "";
          }}
        />
        <Select
          label={text.book.denomination}
          name="denomination"
          none={text.book.everyDenomination}
          value={denomination.value}
          options={denominations.map((d) => ({ id: d.id, words: d.name }))}
          onPick={(id) => {
            denomination.value = id;
          }}
        />
      </form>
      <p class="quiet" role="status">
        {view.is === "answer"
          ? text.book.count(view.value.coins.length + view.value.strangers.length)
          : text.toolbox.asking}
      </p>
      {view.is === "failed" && <p class="problem">{view.fault.sentence || text.toolbox.failed}</p>}
      {view.is === "answer" && found(view.value) === 0 && <p>{text.book.nothing}</p>}
      {view.is === "answer" && found(view.value) === 0 && country.value && (
        <button
          type="button"
          class="button wide"
          data-do="every-country"
          onClick={() => {
            country.value = "";
            denomination.value = "";
          }}
        >
          {text.book.searchEverywhere}
        </button>
      )}
      {view.is === "answer" && view.value.coins.length > 0 && <Coins coins={view.value.coins} all={all} />}
      {view.is === "answer" && view.value.struckForOthers.length > 0 && <ForeignStrikes list={view.value} />}
      {view.is === "answer" && view.value.strangers.length > 0 && <Strangers list={view.value} all={all} />}
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

const found = (l: CoinList) => l.coins.length + l.struckForOthers.length + l.strangers.length;

/** Coins of countries that no verdict is made for. */
function Strangers({ list: { strangers, sources }, all }: { list: CoinList; all: Signal<boolean> }) {
  const shown = all.value ? strangers : strangers.slice(0, firstCoins);
  return (
    <section class="card" aria-labelledby="strangers-title" data-part="strangers">
      <h2 id="strangers-title">{text.book.strangers}</h2>
      <p class="quiet small">{text.book.strangersHint}</p>
      <WorldCoins coins={shown} sources={sources} />
      {shown.length < strangers.length && (
        <button
          type="button"
          class="button wide"
          data-do="all-strangers"
          onClick={() => {
            all.value = true;
          }}
        >
          {text.book.showAll(strangers.length)}
        </button>
      )}
    </section>
  );
}

/** What was struck in a country's mints for another one; each opens to its figures and their sources. */
function ForeignStrikes({ list: { struckForOthers, sources } }: { list: CoinList }) {
  const countries = useApp().catalogue.countries.value;
  const place = (id: string) => countries?.find((c) => c.id === id)?.name ?? id;
  return (
    <section class="card" aria-labelledby="foreign-strikes-title" data-part="foreign-strikes">
      <h2 id="foreign-strikes-title">{text.book.struckForOthers}</h2>
      <p class="quiet small">{text.book.struckForOthersHint}</p>
      {struckForOthers.map((g) => (
        <CoinLine
          key={g.country + g.name + yearsWords(g)}
          name={g.name}
          below={text.book.foreignStrikeOf(place(g.country), g.alloy.name)}
          coin={g}
          by={g.by}
          sources={sources}
        />
      ))}
    </section>
  );
}
