import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Bar, Comparing, Hint, Hints } from "../../bench/hints";
import type { Face } from "../../bench/lit";
import type { Find } from "../../core/journal";
import { readSheet } from "../../core/read";
import type { LookFor, Sheet } from "../../core/types";
import { text } from "../../text";
import { addressOf } from "../../view/places";
import { useAsking } from "../tools/use-asking";
import { Points } from "../weigh/inspect";
import { wholeDegrees } from "./ruler-words";

/** The marks by number; the one in hand with what is seen there and what it is to be held against. */
export function HintList(props: {
  hints: Hints;
  seen: Extract<Comparing, { is: "compared" }>;
  find: Find;
  face: Face;
  lookAt(h: Hint): void;
}) {
  const { hints, seen } = props;
  const looked = hints.work.now.value;
  const chosen = hints.chosen.value;
  const list = useRef<HTMLOListElement>(null);
  useEffect(() => {
    // A tap on the picture opens what may be out of sight below it.
    list.current?.querySelector("li[data-open]")?.scrollIntoView({ block: "nearest" });
  }, [chosen]);
  if (seen.hints.length === 0) {
    return (
      <>
        <p role="status" data-part="hints-none">
          {text.hints.none}
        </p>
        {seen.bars.differs && <p class="quiet small">{rateWords(seen.bars.differs)}</p>}
      </>
    );
  }
  return (
    <>
      <p role="status" data-part="hints-found" data-count={seen.hints.length}>
        {text.hints.found(seen.hints.length)}
      </p>
      <ol ref={list} class="plain hint-list" aria-label={text.hints.list}>
        {seen.hints.map((h, i) => {
          const n = i + 1;
          const open = n === chosen;
          return (
            <li key={n} data-hint={h.kind} data-n={n} data-open={open || undefined}>
              <button
                type="button"
                class="ruler-name"
                aria-expanded={open}
                onClick={() => hints.choose(open ? 0 : n)}
              >
                <span>
                  {n}. {text.hints.kinds[h.kind]}
                </span>
                {looked.has(n) && <span class="tag">{text.hints.ticked}</span>}
              </button>
              {open && <OpenHint {...props} h={h} n={n} ticked={looked.has(n)} bar={seen.bars[h.kind]} />}
            </li>
          );
        })}
      </ol>
    </>
  );
}

const rateWords = (bar: Bar): string =>
  bar.simulated ? text.hints.rendered(bar.rate, bar.coins) : text.hints.own(bar.rate, bar.coins);

function seenWords(h: Hint): string {
  if (h.kind === "second-image") {
    const way = ((Math.round(h.toward / 45) % 8) + 8) % 8;
    return text.hints.shifted(h.shift.toFixed(2), text.hints.toward[way] ?? "");
  }
  return h.kind === "other-side" ? text.hints.turned(wholeDegrees(h.degrees)) : text.hints.unlike;
}

function OpenHint(props: {
  hints: Hints;
  h: Hint;
  n: number;
  ticked: boolean;
  bar: Bar | undefined;
  find: Find;
  face: Face;
  lookAt(h: Hint): void;
}) {
  const { hints, h, n, bar } = props;
  // What shines through is seen on the side that it comes from.
  const whose = h.kind === "other-side" ? "other" : "ordinary";
  return (
    <div class="open-hint">
      <p>{seenWords(h)}</p>
      <div class="row">
        <button type="button" class="button" data-do="enlarge-hint" onClick={() => props.lookAt(h)}>
          {text.hints.enlarge}
        </button>
        {hints.shapeShown(whose) && (
          <button
            type="button"
            class="button"
            data-do="swap-coins"
            aria-pressed={hints.shown.value === whose}
            onClick={() => void hints.swap(whose, h.degrees)}
          >
            {hints.shown.value === whose ? text.hints.swapBack : text.hints.swap[whose]}
          </button>
        )}
        <button type="button" class="button" data-do="tick-hint" onClick={() => hints.tick(n)}>
          {props.ticked ? text.hints.untick : text.hints.tick}
        </button>
      </div>
      <p>{text.hints.alike[h.kind]}</p>
      {bar && (
        <p class="quiet small" data-part="hint-rate" data-simulated={bar.simulated || undefined}>
          {rateWords(bar)}
        </p>
      )}
      <LookFors kinds={h.look} find={props.find} face={props.face} />
      <a class="button" data-do="hint-key" href={addressOf("identify", h.key)}>
        {text.hints.key}
      </a>
    </div>
  );
}

/** Whether a look-for of a side can be on this one. */
const onFace = (l: LookFor, face: Face): boolean =>
  l.side === face || (l.side !== "obverse" && l.side !== "reverse" && l.side !== "edge");

/** So many look-fors stand there before the others are asked for. */
const firstLookFors = 4;

/** What the coin book has to look for on this coin that such a mark may be, and what is taken for that. */
function LookFors({ kinds, find, face }: { kinds: readonly string[]; find: Find; face: Face }) {
  const asking = useAsking<Sheet>("look", readSheet);
  const all = useSignal(false);
  const { country = "", denomination = "", year = 0, mint = "" } = find.coin ?? {};
  useEffect(() => {
    void asking.ask({ country, denomination, year, mint });
  }, [asking, country, denomination, year, mint]);
  const view = asking.view.value;
  const look = view.is === "answer" ? view.value.look : [];
  const those = look.filter((l) => kinds.includes(l.kind) && onFace(l, face));
  // Where the date isn't known, what any coin may have comes before what single dates have.
  const first = year
    ? those
    : [...those].sort((a, b) => Number(a.scope === "date") - Number(b.scope === "date"));
  const named = first.filter((l) => !l.look_alike);
  const shown = all.value ? named : named.slice(0, firstLookFors);
  return (
    <section data-part="hint-look-fors" data-count={those.length}>
      <h2>{text.hints.lookFor}</h2>
      {(view.is === "idle" || view.is === "asking") && <p class="quiet">{text.hints.lookWaiting}</p>}
      {(view.is === "failed" || (view.is === "answer" && those.length === 0)) && (
        <p class="quiet">{text.hints.lookNone}</p>
      )}
      <Points list={[...shown, ...first.filter((l) => l.look_alike)]} dated={year !== 0} />
      {shown.length < named.length && (
        <button
          type="button"
          class="button"
          data-do="all-look-fors"
          onClick={() => {
            all.value = true;
          }}
        >
          {text.inspect.showMore(named.length - shown.length)}
        </button>
      )}
    </section>
  );
}
