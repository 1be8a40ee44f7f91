import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { plainNumber } from "../../core/plain-number";
import type { ScaleGuide } from "../../scale/scale-guide";
import { countOf, edges, type Said } from "../../scale/scale-record";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { clockText } from "../desk/time";
import { Entry } from "../form/controls";
import { twoWays } from "../form/two-ways";
import { weightName } from "./scale-words";

/** One weight after the other, on and off. */
export function Weighing({ guide }: { guide: ScaleGuide }) {
  const ask = guide.ask.value;
  if (!ask) return <p class="quiet">{text.scale.loading}</p>;
  const weight = weightName(guide.draft.value.weights[ask.weight]);
  const put = ask.edge ? text.scale.ask.edge(weight, text.scale.sides[ask.edge]) : text.scale.ask.put(weight);
  const words = ask.do === "empty" || ask.do === "lift" ? text.scale.ask[ask.do] : put;
  return (
    <>
      <section class="card ask" data-part="ask" data-ask={ask.do}>
        <p class="ask-words" role="status">
          {words}
        </p>
        <p class="quiet figures">{text.scale.nth(ask.nth, ask.of)}</p>
        <SaidLine said={guide.said.value} />
        {!guide.byHand.value && <Display />}
      </section>
      {guide.byHand.value && <TypedDisplay guide={guide} />}
      <Progress guide={guide} />
      <Acts guide={guide} byHand />
    </>
  );
}

function saidWords(said: Said): string {
  switch (said.is) {
    case "taken":
      return text.scale.taken(said.shown, said.unit);
    case "refused":
      return `${text.scale.refused} ${said.sentence || text.scale.failed}`;
    case "unit":
      return text.scale.unitChanged;
    case "step":
      return text.scale.stepChanged;
    case "scale":
      return text.scale.scaleChanged;
    case "withheld":
      return text.scale.withheld;
    case "disturbed":
      return `${text.scale.disturbed} ${said.sentence}`.trim();
  }
}

function SaidLine({ said }: { said: Said | null }) {
  return (
    <p role="status" class="said" data-part="said" data-said={said?.is}>
      {said && saidWords(said)}
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
          <span class="quiet">{text.scale.shows}</span> {`${figure(shown)}\u00a0${r.unit}`}{" "}
          <span class="quiet">{text.phase[r.phase]}</span>
        </>
      )}
    </p>
  );
}

function TypedDisplay({ guide }: { guide: ScaleGuide }) {
  const shown = useSignal("");
  const zero = useSignal("");
  const wrong = useSignal("");
  const typedOn = useRef(false);
  async function take(e: Event) {
    e.preventDefault();
    if (!shown.value.trim()) return;
    wrong.value = twoWays(shown.value) || twoWays(zero.value);
    if (wrong.value) return;
    typedOn.current = false;
    const before = guide.draft.value.readings.length + guide.draft.value.offCentre.length;
    await guide.typed(plainNumber(shown.value), plainNumber(zero.value));
    const grown = guide.draft.value.readings.length + guide.draft.value.offCentre.length > before;
    // What was typed on meanwhile is the next weight's.
    if (grown && !typedOn.current) shown.value = "";
  }
  return (
    <form class="tool-form" noValidate onSubmit={(e) => void take(e)}>
      <Entry
        name="shown"
        label={text.scale.shownField}
        value={shown.value}
        onType={(typed) => {
          shown.value = typed;
          typedOn.current = true;
        }}
      />
      <Entry
        name="zero"
        label={text.scale.zeroField}
        hint={text.scale.zeroHint}
        value={zero.value}
        onType={(typed) => {
          zero.value = typed;
        }}
      />
      <div class="wide" role="alert">
        {wrong.value && <p class="problem">{wrong.value}</p>}
      </div>
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
          <button
            type="button"
            class="button danger"
            data-do="restart-yes"
            onClick={() => void guide.restart()}
          >
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
            void guide.typeDisplays(!guide.byHand.value);
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
          else void guide.restart();
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
              <button type="button" class="button" data-do="edges" onClick={() => void guide.go("edges")}>
                {text.scale.edgesStart}
              </button>
            </p>
          </>
        )}
      </section>
      <section class="card" aria-labelledby="alone-title">
        <h2 id="alone-title">{text.scale.aloneTitle}</h2>
        {d.watched > 0 ? (
          <p data-part="alone-done">{text.scale.aloneDone(Math.round(d.watched))}</p>
        ) : guide.byHand.value ? (
          <p>{text.scale.aloneNeedsLive}</p>
        ) : (
          <>
            <p>{text.scale.aloneHint}</p>
            <p class="acts">
              <button type="button" class="button" data-do="alone" onClick={() => void guide.go("alone")}>
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
          void guide.finish(plainNumber(temperature.value), place.value.trim());
        }}
      >
        <Entry
          name="temperature"
          label={text.scale.temperature}
          hint={text.scale.optional}
          value={temperature.value}
          onType={(typed) => {
            temperature.value = typed;
          }}
        />
        <Entry
          name="place"
          label={text.scale.place}
          mode="text"
          most={60}
          hint={text.scale.optional}
          value={place.value}
          onType={(typed) => {
            place.value = typed;
          }}
        />
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
  const ask = guide.ask.value;
  if (!ask) return <p class="quiet">{text.scale.loading}</p>;
  const begun = ask.do === "watch";
  const weight = weightName(guide.draft.value.weights[ask.weight]);
  return (
    <>
      <section class="card ask" data-part="ask" data-ask={ask.do}>
        <p class="ask-words" role="status">
          {begun ? text.scale.aloneNow(clockText(ask.left)) : text.scale.aloneRest(weight)}
        </p>
        <progress
          class="alone-bar"
          max={guide.alone.value + ask.left}
          value={guide.alone.value}
          aria-label={text.scale.aloneTitle}
        />
        <SaidLine said={guide.said.value} />
        <Display />
      </section>
      <p class="acts">
        <button type="button" class="button" data-do="alone-end" onClick={() => void guide.go("end")}>
          {guide.aloneEnough ? text.scale.aloneEnd : text.scale.aloneStop}
        </button>
      </p>
    </>
  );
}
