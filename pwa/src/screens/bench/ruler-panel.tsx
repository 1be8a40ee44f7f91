import type { ComponentChildren } from "preact";
import type { Bench } from "../../bench/bench";
import {
  begun,
  handOf,
  type Lay,
  lays,
  type Mark,
  mostPoints,
  ownName,
  withCorner,
  withoutCorner,
} from "../../bench/work";
import { text } from "../../text";
import { nameOf, saysWords, waiting } from "./ruler-words";

/** Lays a ruler into the middle of what is looked at, and takes it in hand. */
export function layOn(bench: Bench, is: Lay, of = ""): void {
  const { x, y, scale } = bench.zoom.view.peek();
  const { width, height } = bench.zoom.glass.peek();
  const span = Math.min(width, height) / scale;
  bench.addMark(begun(ownName(), is, { x, y }, span, handOf(scale), of));
}

/** The rulers on the picture; what can be done with each beside taking it away is for the page to say. */
export function RulerPanel(props: {
  bench: Bench;
  /** Below a ruler. */
  acts?: ((mark: Mark) => ComponentChildren) | undefined;
  /** Above all of them. */
  children?: ComponentChildren;
}) {
  const { bench } = props;
  const { rim, marks } = bench.work.now.value;
  const scaled = rim !== null && bench.across !== null;
  return (
    <section class="card" data-part="ruler-panel" data-rulers={marks.length}>
      {props.children}
      <p class={scaled ? "quiet small" : "problem"}>
        {scaled ? text.bench.ruler.hint : text.bench.ruler.needsRim}
      </p>
      <div class="row">
        {lays.map((is) => (
          <button
            key={is}
            type="button"
            class="button"
            data-lay={is}
            title={text.bench.ruler.beginHints[is]}
            onClick={() => layOn(bench, is)}
          >
            {text.bench.ruler.begin[is]}
          </button>
        ))}
      </div>
      {marks.length === 0 && <p class="quiet">{text.bench.ruler.none}</p>}
      <ul class="plain rulers">
        {marks.map((m) => (
          <Ruler key={m.id} bench={bench} mark={m} acts={props.acts} />
        ))}
      </ul>
      {marks.length > 0 && <p class="quiet small">{text.bench.ruler.about95}</p>}
    </section>
  );
}

function Ruler(props: { bench: Bench; mark: Mark; acts: ((mark: Mark) => ComponentChildren) | undefined }) {
  const { bench, mark } = props;
  const says = bench.says.value.get(mark.id);
  const chosen = bench.chosen.value === mark.id;
  return (
    <li
      data-ruler={mark.id}
      data-is={mark.is}
      data-value={says?.value.toFixed(4)}
      data-u={says?.u.toFixed(4)}
    >
      <button
        type="button"
        class="ruler-name"
        aria-pressed={chosen}
        onClick={() => {
          bench.chosen.value = chosen ? "" : mark.id;
        }}
      >
        <span>{nameOf(bench.work.now.value.marks, mark)}</span>
        <span class="figures" role="status">
          {says ? saysWords(says) : waiting}
        </span>
      </button>
      {chosen && (
        <>
          <p class="quiet small">{text.bench.ruler.beginHints[mark.is]}</p>
          <div class="row">
            {mark.is === "area" && (
              <>
                <button
                  type="button"
                  class="button"
                  data-do="corner-more"
                  disabled={mark.points.length >= mostPoints}
                  onClick={() => bench.changeMark(withCorner(mark))}
                >
                  {text.bench.ruler.more}
                </button>
                <button
                  type="button"
                  class="button"
                  data-do="corner-fewer"
                  disabled={mark.points.length <= 3}
                  onClick={() => bench.changeMark(withoutCorner(mark))}
                >
                  {text.bench.ruler.fewer}
                </button>
              </>
            )}
            {props.acts?.(mark)}
            <button
              type="button"
              class="quiet-button"
              data-do="drop-ruler"
              onClick={() => bench.dropMark(mark.id)}
            >
              {text.bench.ruler.drop}
            </button>
          </div>
        </>
      )}
    </li>
  );
}
