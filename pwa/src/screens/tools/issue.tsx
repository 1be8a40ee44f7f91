import { useEffect } from "preact/hooks";
import { type CoinList, type CoinSource, type Issue, readCoins } from "../../core/coins";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { ToolPage } from "./page";
import { PlanchetFigures, Whence, Years } from "./planchet-figures";
import { useAsking } from "./use-asking";

const toBook = () => ({ href: addressOf("book"), words: text.book.back });

/** One issue with all its figures; each figure opens to its source and grade. */
export function IssuePage({ id }: { id: string }) {
  const app = useApp();
  const asking = useAsking<CoinList>("coins", readCoins);
  const waiting = app.coreHost.value === "waiting";
  // Asked again once a core has come within reach
  useEffect(() => {
    void asking.ask({ text: id });
  }, [asking, id, waiting]);
  const view = asking.view.value;
  const coin = view.is === "answer" ? view.value.coins.find((c) => c.id === id) : undefined;
  const title = coin?.name ?? text.toolbox.names.book;
  return (
    <ToolPage tool="book" title={title} back={toBook()}>
      {(view.is === "idle" || view.is === "asking") && <p class="quiet">{text.toolbox.asking}</p>}
      {view.is === "failed" && <p class="problem">{view.fault.sentence || text.toolbox.failed}</p>}
      {view.is === "answer" && !coin && <p>{text.book.gone}</p>}
      {view.is === "answer" && coin && <Facts c={coin} sources={view.value.sources} />}
    </ToolPage>
  );
}

function Facts({ c, sources }: { c: Issue; sources: Map<string, CoinSource> }) {
  const country = useApp().catalogue.countries.value?.find((k) => k.id === c.country);
  const denomination = country?.denominations.find((d) => d.id === c.denomination);
  const kind = c.circulating ? text.book.circulating : text.book.collector;
  return (
    <>
      <p class="quiet">{[country?.name, denomination?.name, kind].filter(Boolean).join(", ")}</p>
      <section class="card" aria-labelledby="figures-title">
        <h2 id="figures-title">{text.book.figures}</h2>
        <p class="quiet small">{text.book.figuresHint}</p>
        <PlanchetFigures p={c} sources={sources} />
      </section>
      <section class="card" aria-labelledby="years-title">
        <h2 id="years-title">{text.book.years}</h2>
        <details class="figure-row" data-part="years">
          <summary>
            <span class="figure-words">
              <Years spans={c.spans} />
            </span>
          </summary>
          <Whence origin={c} sources={sources} hint="" />
        </details>
      </section>
      {(c.note || c.planchetNote) && (
        <section class="card" aria-labelledby="notes-title">
          <h2 id="notes-title">{text.book.notes}</h2>
          {c.note && <p>{c.note}</p>}
          {c.planchetNote && <p>{c.planchetNote}</p>}
        </section>
      )}
    </>
  );
}
