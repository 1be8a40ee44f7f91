import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";
import type { Said, ScaleGuide } from "../../scale/scale-guide";
import { aloneForS, countOf, edges } from "../../scale/scale-record";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { clockText } from "../desk/time";
import { plainNumber } from "./questions";
import { weightName } from "./scale-words";

/** One weight after the other, on and off. */
export function Weighing({ guide }: { guide: ScaleGuide }) {
  const d = guide.draft.value;
  const next = guide.next.value;
  if (!next) return null;
  const weight = weightName(d.weights[next.weight]);
  const asked = guide.asked.value;
  const side = edges[next.edge ?? -1];
  const put = side ? text.scale.ask.edge(weight, text.scale.sides[side]) : text.scale.ask.put(weight);
  const words = asked === "put" || guide.byHand.value ? put : text.scale.ask[asked];
  return (
    <>
      <section class="card ask" data-part="ask" data-ask={asked}>
        <p class="ask-words" role="status">
          {words}
        </p>
        <p class="quiet figures">{text.scale.nth(next.nth, side ? edges.length : d.times)}</p>
        <SaidLine said={guide.said.value} />
        {!guide.byHand.value && <Display />}
      </section>
      {guide.byHand.value && <TypedDisplay guide={guide} />}
      <Progress guide={guide} />
      <Acts guide={guide} byHand />
    </>
  );
}

function SaidLine({ said }: { said: Said }) {
  const words =
    said === null
      ? ""
      : said.is === "taken"
        ? text.scale.taken(said.shown, said.unit)
        : said.is === "refused"
          ? `${text.scale.refused} ${said.sentence || text.scale.failed}`
          : said.is === "unit"
            ? text.scale.unitChanged
            : text.scale.scaleChanged;
  return (
    <p role="status" class="said" data-part="said" data-said={said?.is}>
      {words}
    </p>
  );
}

/** What the scale shows now, small: the eye is on the pan. */
function Display() {
  const r = useApp().live.reading.value;
  const shown = r.is === "weight" && !r.stale ? r.shown : null;
  return (
    <p class="ask-display figures" data-part="display">
      {r.is === "problem" ? (
        r.problem.sentence
      ) : shown === null || r.is !== "weight" ? (
        text.scale.noWeightNow
      ) : (
        <>
          <span class="quiet">{text.scale.shows}</span> {shown} {r.unit}{" "}
          <span class="quiet">{text.phase[r.phase]}</span>
        </>
      )}
    </p>
  );
}

function TypedDisplay({ guide }: { guide: ScaleGuide }) {
  const shown = useSignal("");
  const zero = useSignal("");
  const typedOn = useRef(false);
  async function take(e: Event) {
    e.preventDefault();
    if (!shown.value.trim()) return;
    typedOn.current = false;
    const before = guide.draft.value.readings.length + guide.draft.value.offCentre.length;
    await guide.typed(plainNumber(shown.value), plainNumber(zero.value));
    const grown = guide.draft.value.readings.length + guide.draft.value.offCentre.length > before;
    // What was typed on meanwhile is the next weight's.
    if (grown && !typedOn.current) shown.value = "";
  }
  return (
    <form class="tool-form" noValidate onSubmit={(e) => void take(e)}>
      <label class="field">
        <span>{text.scale.shownField}</span>
        <input
          name="shown"
          inputMode="decimal"
          autocomplete="off"
          value={shown.value}
          onInput={(e) => {
            shown.value = e.currentTarget.value;
            typedOn.current = true;
          }}
        />
      </label>
      <label class="field">
        <span>{text.scale.zeroField}</span>
        <input
          name="zero"
          inputMode="decimal"
          autocomplete="off"
          placeholder={text.scale.zeroHint}
          value={zero.value}
          onInput={(e) => {
            zero.value = e.currentTarget.value;
          }}
        />
      </label>
      <button type="submit" class="button main" data-do="take-typed">
        {text.scale.takeTyped}
      </button>
    </form>
  );
}

/** How far it is, weight by weight, with what was read. */
function Progress({ guide }: { guide: ScaleGuide }) {
  const d = guide.draft.value;
  return (
    <ul class="plain progress" data-part="progress">
      {d.weights.map((w, i) => {
        const n = countOf(d.readings, i);
        return (
          <li key={i}>
            <span>{weightName(w)}</span>
            <span class="dots" aria-hidden="true">
              {Array.from({ length: Math.max(d.times, n) }, (_, k) => (
                <i key={k} data-done={k < n || undefined} />
              ))}
            </span>
            <span class="unseen">{text.scale.doneOf(n, d.times)}</span>
            <span class="quiet figures readings">
              {d.readings
                .filter((r) => r.weight === i)
                .map((r) => r.shown)
                .join("  ")}
            </span>
          </li>
        );
      })}
    </ul>
  );
}

function Acts({ guide, byHand }: { guide: ScaleGuide; byHand?: boolean }) {
  const asking = useSignal(false);
  const some = guide.draft.value.readings.length > 0;
  if (asking.value) {
    return (
      <div role="group" aria-label={text.scale.restart}>
        <p>{text.scale.restartAsk}</p>
        <p class="acts">
          <button type="button" class="button danger" data-do="restart-yes" onClick={() => guide.restart()}>
            {text.scale.restartYes}
          </button>
          <button
            type="button"
            class="button"
            onClick={() => {
              asking.value = false;
            }}
          >
            {text.scale.restartNo}
          </button>
        </p>
      </div>
    );
  }
  return (
    <p class="acts">
      <button type="button" class="button" data-do="undo" disabled={!some} onClick={() => void guide.undo()}>
        {text.scale.undo}
      </button>
      {byHand && (
        <button
          type="button"
          class="button"
          data-do="by-hand"
          onClick={() => {
            guide.byHand.value = !guide.byHand.value;
            guide.asked.value = guide.byHand.value ? "put" : "empty";
          }}
        >
          {guide.byHand.value ? text.scale.byScale : text.scale.byHand}
        </button>
      )}
      <button
        type="button"
        class="button"
        data-do="restart"
        onClick={() => {
          if (some) asking.value = true;
          else guide.restart();
        }}
      >
        {text.scale.restart}
      </button>
    </p>
  );
}

/** What may still be measured, and the way to the result. */
export function Further({ guide }: { guide: ScaleGuide }) {
  const d = guide.draft.value;
  const temperature = useSignal(d.temperature);
  const place = useSignal(d.place);
  const watched = d.untouched.at(-1)?.after_s ?? 0;
  return (
    <>
      <SaidLine said={guide.said.value} />
      <Progress guide={guide} />
      <section class="card" aria-labelledby="edges-title">
        <h2 id="edges-title">{text.scale.edgesTitle}</h2>
        {d.offCentre.length >= edges.length ? (
          <p data-part="edges-done">{text.scale.edgesDone}</p>
        ) : (
          <>
            <p>{text.scale.edgesHint}</p>
            <p class="acts">
              <button type="button" class="button" data-do="edges" onClick={() => guide.go("edges")}>
                {text.scale.edgesStart}
              </button>
            </p>
          </>
        )}
      </section>
      <section class="card" aria-labelledby="alone-title">
        <h2 id="alone-title">{text.scale.aloneTitle}</h2>
        {watched > 0 ? (
          <p data-part="alone-done">{text.scale.aloneDone(Math.round(watched))}</p>
        ) : guide.byHand.value ? (
          <p>{text.scale.aloneNeedsLive}</p>
        ) : (
          <>
            <p>{text.scale.aloneHint}</p>
            <p class="acts">
              <button type="button" class="button" data-do="alone" onClick={() => guide.go("alone")}>
                {text.scale.aloneStart}
              </button>
            </p>
          </>
        )}
      </section>
      <form
        class="tool-form"
        noValidate
        onSubmit={(e) => {
          e.preventDefault();
          void guide.finish(temperature.value, place.value);
        }}
      >
        <label class="field">
          <span>{text.scale.temperature}</span>
          <input
            name="temperature"
            inputMode="decimal"
            autocomplete="off"
            placeholder={text.scale.optional}
            value={temperature.value}
            onInput={(e) => {
              temperature.value = e.currentTarget.value;
            }}
          />
        </label>
        <label class="field">
          <span>{text.scale.place}</span>
          <input
            name="place"
            autocomplete="off"
            maxLength={60}
            placeholder={text.scale.optional}
            value={place.value}
            onInput={(e) => {
              place.value = e.currentTarget.value;
            }}
          />
        </label>
        <button type="submit" class="button main" data-do="finish">
          {text.scale.finish}
        </button>
      </form>
      <Acts guide={guide} />
    </>
  );
}

/** The scale is watched while nobody touches it. */
export function LeftAlone({ guide }: { guide: ScaleGuide }) {
  const begun = guide.draft.value.untouched.length > 0;
  const left = clockText(aloneForS - guide.alone.value);
  return (
    <>
      <section class="card ask" data-part="ask" data-ask="alone">
        <p class="ask-words" role="status">
          {begun ? text.scale.aloneNow(left) : text.scale.aloneRest}
        </p>
        <progress
          class="alone-bar"
          max={aloneForS}
          value={guide.alone.value}
          aria-label={text.scale.aloneTitle}
        />
        <SaidLine said={guide.said.value} />
        <Display />
      </section>
      <p class="acts">
        <button type="button" class="button" data-do="alone-end" onClick={() => guide.endAlone()}>
          {guide.aloneEnough ? text.scale.aloneEnd : text.scale.aloneStop}
        </button>
      </p>
    </>
  );
}
