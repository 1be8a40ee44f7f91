import type { ComponentChildren } from "preact";
import type { CoinSource, Layer, Origin, Planchet, Span } from "../../core/coins";
import { text } from "../../text";
import { lengthWords, limitWords, massWords, metalWords, named, percentOf } from "./coin-words";

/** A blank's figures; each opens to its source and grade. */
export function PlanchetFigures({ p, sources }: { p: Planchet; sources: Map<string, CoinSource> }) {
  const of = (origin: Origin | null, hint = "") => <Whence origin={origin} sources={sources} hint={hint} />;
  return (
    <>
      <Row name={text.book.mass} part="mass" words={massWords(p.mass)} whence={of(p.mass)} />
      <Row
        name={text.book.limit}
        part="limit"
        words={limitWords(p.limit)}
        whence={
          p.limit
            ? of(p.limit, p.limit.scope === "batch" ? text.book.limitBatchHint : "")
            : of(null, text.book.limitNoneHint)
        }
      />
      {p.diameter && (
        <Row
          name={text.book.diameter}
          part="diameter"
          words={lengthWords(p.diameter)}
          whence={of(p.diameter)}
        />
      )}
      {p.thickness && (
        <Row
          name={text.book.thickness}
          part="thickness"
          words={lengthWords(p.thickness)}
          whence={of(p.thickness)}
        />
      )}
      <Row
        name={text.book.alloy}
        part="alloy"
        words={p.alloy.name}
        more={metalWords(p.alloy)}
        whence={of(p.alloy, p.alloy.note)}
      />
      {p.layers.length > 0 && (
        <Row
          name={text.book.layers}
          part="layers"
          words={<LayerList layers={p.layers} />}
          whence={of(p.layersBy)}
        />
      )}
      {p.density && (
        <Row
          name={text.book.density}
          part="density"
          words={text.book.densityBand(
            p.density.value.toFixed(2),
            p.density.low.toFixed(2),
            p.density.high.toFixed(2),
          )}
          whence={of({ source: "", grade: "C" }, text.book.densityFrom)}
        />
      )}
      {p.edge && (
        <Row
          name={text.book.edge}
          part="edge"
          words={[named(text.book.edges, p.edge), p.edgeNote].filter(Boolean).join(", ")}
          whence={of(p.edgeBy)}
        />
      )}
      <Row
        name={text.book.magnet}
        part="magnet"
        words={named(text.book.magnets, p.magnetic || "unknown")}
        whence={of(p.looksBy)}
      />
      {p.colour && (
        <Row
          name={text.book.colour}
          part="colour"
          words={named(text.book.colours, p.colour)}
          whence={of(p.looksBy)}
        />
      )}
    </>
  );
}

export function Row(props: {
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
export function Whence(props: { origin: Origin | null; sources: Map<string, CoinSource>; hint: string }) {
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

/** Runs of years with their mint marks. */
export function Years({ spans }: { spans: Span[] }) {
  return (
    <>
      {spans.map((s) => (
        <span key={`${s.first}/${s.marks.join()}`} class="layer figures">
          {s.first === s.last ? s.first : `${s.first}–${s.last}`}
          {s.marks.length > 0 && ": "}
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
