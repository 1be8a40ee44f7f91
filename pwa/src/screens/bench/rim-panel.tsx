import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Bench } from "../../bench/bench";
import { edgeOf } from "../../bench/work";
import { plainNumber } from "../../core/plain-number";
import { text } from "../../text";
import { figure } from "../../text/writing";

/** No coin is narrower or wider, mm. */
const [narrowest, widest] = [5, 100];

/** What the coin book says of the diameter. */
export interface BookSize {
  mm: number | null;
  /** Which coin that is of. */
  coin: string;
  unsure: boolean;
}

/** The rim: found, mended, and what gives it millimeters. */
export function RimPanel({ bench, size }: { bench: Bench; size: BookSize | null }) {
  const { rim: scaled } = bench.work.now.value;
  const rim = edgeOf(scaled);
  const seeking = bench.seeking.value;
  const ways = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // Why there is no rim, and what to do now, isn't left out of sight below the picture.
    if (seeking.is === "refused") ways.current?.scrollIntoView({ block: "nearest" });
  }, [seeking]);
  return (
    <section class="card" data-part="rim-panel" data-state={seeking.is} data-by={scaled?.by}>
      {seeking.is !== "refused" && <p class="quiet small">{text.bench.rim.hint}</p>}
      <div role="status">
        {seeking.is === "seeking" && (
          <p>
            {text.bench.rim.seeking} {text.percent(seeking.done)}
          </p>
        )}
        {seeking.is === "idle" && rim && (
          <p data-part="rim-says">
            {rim.by === "hand" ? text.bench.rim.byHand : text.bench.rim.found(text.percent(rim.covered))}
          </p>
        )}
      </div>
      {seeking.is === "refused" && (
        <p class="problem" role="alert" data-part="rim-refused" data-why={seeking.why}>
          {text.bench.rim.refusals[seeking.why]}
        </p>
      )}
      {seeking.is === "seeking" ? (
        <button type="button" class="button" data-do="stop-rim" onClick={() => bench.stopSeeking()}>
          {text.bench.stop}
        </button>
      ) : (
        <div class="row rim-ways" ref={ways}>
          <button type="button" class="button" data-do="seek-rim" onClick={() => void bench.seek()}>
            {rim ? text.bench.rim.again : text.bench.rim.seek}
          </button>
          {!rim && (
            <button type="button" class="button" data-do="rim-by-hand" onClick={() => bench.byHand()}>
              {text.bench.rim.setByHand}
            </button>
          )}
        </div>
      )}
      {rim && bench.screen.value && (
        <p class="problem" data-part="rim-screen">
          {text.bench.rim.screen}
        </p>
      )}
      {rim?.by === "found" && bench.check.value && <p data-part="rim-check">{text.bench.rim.check}</p>}
      {rim && <p class="quiet small">{text.bench.rim.handHint}</p>}
      <DiameterEntry bench={bench} size={size} />
    </section>
  );
}

function DiameterEntry({ bench, size }: { bench: Bench; size: BookSize | null }) {
  const typed = useSignal("");
  const said = size?.mm ?? null;
  useEffect(() => {
    const mm = bench.diameter.peek() ?? said;
    typed.value = mm === null ? "" : figure(String(mm));
  }, [bench, said, typed]);
  const take = (words: string) => {
    typed.value = words;
    const mm = Number(plainNumber(words));
    bench.diameter.value = mm >= narrowest && mm <= widest ? mm : null;
  };
  return (
    <>
      <label class="field">
        <span>{text.bench.rim.diameter}</span>
        <input
          name="diameter"
          inputMode="decimal"
          autocomplete="off"
          value={typed.value}
          aria-invalid={typed.value !== "" && bench.diameter.value === null ? true : undefined}
          onInput={(e) => take(e.currentTarget.value)}
        />
      </label>
      {size && (
        <p class="quiet small">
          {size.mm === null
            ? text.bench.rim.noCoin
            : size.unsure
              ? text.bench.rim.unsure
              : text.bench.rim.byBook(String(size.mm), size.coin)}
        </p>
      )}
    </>
  );
}
