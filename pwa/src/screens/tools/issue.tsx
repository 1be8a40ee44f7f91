import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { useApp } from "../../app/context";
import { addressOf } from "../../app/places";
import { type CoinList, type CoinSource, type Issue, type Layer, readCoins } from "../../core/coins";
import { text } from "../../text";
import { lengthWords, limitWords, massWords, metalWords, named, percentOf } from "./coin-words";
import { ToolPage } from "./page";
import { useAsking } from "./use-asking";

const toBook = { href: addressOf("book"), words: text.book.back };

/** One issue with all its figures; each figure opens to its source and grade. */
export function IssuePage({ id }: { id: string }) {
  const app = useApp();
  const asking = useAsking<CoinList>("coins", readCoins);
  const waiting = app.judge.value === "waiting";
  // Asked again once a core has come within reach
  useEffect(() => {
    void asking.ask({ text: id });
  }, [asking, id, waiting]);
  const view = asking.view.value;
  const coin = view.is === "answer" ? view.value.coins.find((c) => c.id === id) : undefined;
  const title = coin?.name ?? text.toolbox.names.book;
  return (
    <ToolPage tool="book" title={title} back={toBook}>
      {(view.is === "idle" || view.is === "asking") && <p class="quiet">{text.toolbox.asking}</p>}
      {view.is === "failed" && <p class="problem">{view.fault.sentence || text.toolbox.failed}</p>}
      {view.is === "answer" && !coin && <p>{text.book.gone}</p>}
      {view.is === "answer" && coin && <Facts c={coin} sources={view.value.sources} />}
    </ToolPage>
  );
}

type Origin = { source: string; grade: string };

function Facts({ c, sources }: { c: Issue; sources: Map<string, CoinSource> }) {
  const country = useApp().catalogue.countries.value?.find((k) => k.id === c.country);
  const denomination = country?.denominations.find((d) => d.id === c.denomination);
  const kind = c.circulating ? text.book.circulating : text.book.collector;
  const of = (origin: Origin | null, hint = "") => <Whence origin={origin} sources={sources} hint={hint} />;
  return (
    <>
      <p class="quiet">{[country?.name, denomination?.name, kind].filter(Boolean).join(", ")}</p>
      <section class="card" aria-labelledby="figures-title">
        <h2 id="figures-title">{text.book.figures}</h2>
        <p class="quiet small">{text.book.figuresHint}</p>
        <Row name={text.book.mass} part="mass" words={massWords(c.mass)} whence={of(c.mass)} />
        <Row
          name={text.book.limit}
          part="limit"
          words={limitWords(c.limit)}
          whence={
            c.limit
              ? of(c.limit, c.limit.scope === "batch" ? text.book.limitBatchHint : "")
              : of(null, text.book.limitNoneHint)
          }
        />
        {c.diameter && (
          <Row
            name={text.book.diameter}
            part="diameter"
            words={lengthWords(c.diameter)}
            whence={of(c.diameter)}
          />
        )}
        {c.thickness && (
          <Row
            name={text.book.thickness}
            part="thickness"
            words={lengthWords(c.thickness)}
            whence={of(c.thickness)}
          />
        )}
        <Row
          name={text.book.alloy}
          part="alloy"
          words={c.alloy.name}
          more={metalWords(c.alloy)}
          whence={of(c.alloy, c.alloy.note)}
        />
        {c.layers.length > 0 && (
          <Row
            name={text.book.layers}
            part="layers"
            words={<LayerList layers={c.layers} />}
            whence={of(c.layersBy)}
          />
        )}
        {c.density && (
          <Row
            name={text.book.density}
            part="density"
            words={text.book.densityBand(
              c.density.value.toFixed(2),
              c.density.low.toFixed(2),
              c.density.high.toFixed(2),
            )}
            whence={of({ source: "", grade: "C" }, text.book.densityFrom)}
          />
        )}
        <dl class="facts plain-facts">
          {c.edge && (
            <div>
              <dt>{text.book.edge}</dt>
              <dd>{[named(text.book.edges, c.edge), c.edgeNote].filter(Boolean).join(", ")}</dd>
            </div>
          )}
          <div>
            <dt>{text.book.magnet}</dt>
            <dd>{named(text.book.magnets, c.magnetic || "unknown")}</dd>
          </div>
          {c.colour && (
            <div>
              <dt>{text.book.colour}</dt>
              <dd>{named(text.book.colours, c.colour)}</dd>
            </div>
          )}
        </dl>
      </section>
      <section class="card" aria-labelledby="years-title">
        <h2 id="years-title">{text.book.years}</h2>
        <details class="figure-row" data-part="years">
          <summary>
            <span class="figure-words">
              <Years c={c} />
            </span>
          </summary>
          {of(c)}
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

function Row(props: {
  name: string;
  part: string;
  words: ComponentChildren;
  more?: string;
  whence: ComponentChildren;
}) {
  return (
    <details class="figure-row" data-part={props.part}>
      <summary>
        <span class="figure-name quiet">{props.name}</span>
        <span class="figure-words figures">
          {props.words}
          {props.more && <span class="quiet figure-more">{props.more}</span>}
        </span>
      </summary>
      {props.whence}
    </details>
  );
}

/** Where a figure comes from and how sure that is. */
function Whence(props: { origin: Origin | null; sources: Map<string, CoinSource>; hint: string }) {
  const source = props.sources.get(props.origin?.source ?? "");
  return (
    <div class="inside whence">
      {props.hint && <p>{props.hint}</p>}
      <dl class="facts">
        {source && (
          <div>
            <dt>{text.book.source}</dt>
            <dd>
              {source.title}
              {source.note && <span class="quiet">{source.note}</span>}
            </dd>
          </div>
        )}
        {props.origin?.grade && (
          <div>
            <dt>{text.book.grade}</dt>
            <dd>{named(text.grades, props.origin.grade)}</dd>
          </div>
        )}
      </dl>
    </div>
  );
}

function LayerList({ layers }: { layers: Layer[] }) {
  return (
    <>
      {layers.map((y) => (
        <span key={y.part + y.metal.name} class="layer">
          {named(text.book.parts, y.part)}: {y.metal.name}
          <span class="quiet figure-more">
            {y.share === null
              ? text.book.shareUnknown
              : y.part === "face"
                ? text.book.shareFaces(percentOf(y.share))
                : text.book.share(percentOf(y.share))}
          </span>
        </span>
      ))}
    </>
  );
}

function Years({ c }: { c: Issue }) {
  return (
    <>
      {c.spans.map((s) => (
        <span key={`${s.first}/${s.marks.join()}`} class="layer figures">
          {s.first === s.last ? s.first : `${s.first}–${s.last}`}
          {": "}
          {s.marks.map((m) => (m === "-" ? text.book.noMark : m)).join(", ")}
          {(s.open || s.lost) && (
            <span class="quiet figure-more">
              {[s.open && text.book.openEnd, s.lost && text.book.markLost].filter(Boolean).join("; ")}
            </span>
          )}
        </span>
      ))}
    </>
  );
}
