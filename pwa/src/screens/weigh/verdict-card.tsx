import type { App } from "../../app/interface";
import type { Verdict } from "../../core/types";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { Mark } from "../../view/icons";
import { partIds } from "../../view/keyboard";
import type { Shown } from "../../weigh/live-verdict";
import type { Reading } from "../../weigh/reading";
import { denominationName } from "../finds/words";
import { ToleranceBand } from "./band";
import { readsByCamera } from "./camera-keys";
import { AskNext, HowTo, MoreTests } from "./evidence";
import { FirstLook } from "./first-look";
import { Wanted } from "./question";
import { Alloys, Explanations, ToleranceWords } from "./verdict-parts";

/** What the glass says below the weight. */
type View =
  | { is: "first-use" }
  | { is: "words"; words: string }
  | { is: "fault"; sentence: string }
  | { is: "verdict"; shown: Shown; last: string; above: string };

/** What the weight means for the tapped denomination, in words first. */
export function VerdictCard() {
  const app = useApp();
  const view = viewOf(app);
  return (
    <section
      class="verdict"
      id={partIds.verdict}
      tabIndex={-1}
      aria-label={text.verdict.title}
      data-is={view.is}
    >
      {view.is === "first-use" && <FirstUse />}
      {view.is === "words" && <p class="verdict-words">{view.words}</p>}
      {view.is === "fault" && (
        <p class="problem" data-part="judge-fault">
          {view.sentence}
        </p>
      )}
      {view.is === "verdict" && view.above && <p class="verdict-words">{view.above}</p>}
      {view.is === "verdict" && <VerdictOf shown={view.shown} last={view.last} inspect />}
      {app.coreHost.value === "laptop" && (
        <p class="quiet judge-note" data-part="judged-by" title={text.judge.laptop}>
          {text.judge.laptopShort}
        </p>
      )}
    </section>
  );
}

function viewOf(app: App): View {
  if (app.manualWeight.on.value) return typedView(app);
  const r = app.live.reading.value;
  const { current, last, fault } = app.liveVerdict;
  if (app.prefs.denomination.value === "") {
    return app.prefs.hintsDone.value ? { is: "words", words: text.verdict.pick } : { is: "first-use" };
  }
  const behind = (words: string): View =>
    last.value
      ? { is: "verdict", shown: last.value, last: lastWords(last.value, r), above: words }
      : { is: "words", words };
  if (r.is !== "weight") return behind(text.verdict.withheldProblem);
  if (r.stale) return { is: "words", words: text.verdict.withheld };
  if (fault.value) return { is: "fault", sentence: faultWords(fault.value.code, fault.value.sentence) };
  if (current.value) return { is: "verdict", shown: current.value, last: "", above: "" };
  if (r.unconfirmed) return behind(text.camera.verdictWaits);
  if (r.phase === "moving" || r.phase === "settled") return behind(text.verdict.weighing);
  if (r.phase === "withheld") return { is: "words", words: text.verdict.withheldLoad };
  if (r.phase === "over" || r.phase === "under") return { is: "words", words: text.verdict.retare };
  return behind(text.verdict.putCoin);
}

function typedView(app: App): View {
  const { current, last, fault, lack } = app.manualWeight;
  if (app.prefs.denomination.value === "") return { is: "words", words: text.typed.pick };
  if (fault.value) return { is: "fault", sentence: faultWords(fault.value.code, fault.value.sentence) };
  if (current.value) return { is: "verdict", shown: current.value, last: "", above: "" };
  if (lack.value.is === "complete") return { is: "words", words: text.verdict.weighing };
  if (last.value && lack.value.is === "nothing-typed") {
    return { is: "verdict", shown: last.value, last: text.verdict.lastCoin, above: "" };
  }
  return { is: "words", words: readsByCamera(app) ? text.camera.verdictWaits : text.typed.noVerdict };
}

/** Whose verdict it is that stands there dimmed: the coin's before, or this one's before it moved. */
function lastWords(last: Shown, r: Reading): string {
  const same = r.is === "weight" && r.load?.placement === last.placement;
  return same ? text.verdict.before : text.verdict.lastCoin;
}

function faultWords(code: string, sentence: string): string {
  if (sentence) return sentence;
  return code === "nobody-answers" ? text.judge.nobody : text.judge.failed;
}

/** A verdict in the order a hunter asks: what it is, is it kept, what to look at next, and why. */
export function VerdictOf({
  shown,
  last,
  inspect = false,
}: {
  shown: Shown;
  last: string;
  inspect?: boolean;
}) {
  const v = shown.verdict;
  const q = shown.question;
  const coin = denominationName(useApp().catalogue.countries.value, q.country, q.denomination);
  // Two coins at once are held against no coin's limits.
  const tolerance = v.tally.again ? null : v.tolerance;
  return (
    <div class="verdict-body" data-last={last !== "" || undefined}>
      <Headline verdict={v} last={last} provisional={last === "" && !shown.settled} />
      <AskNext shown={shown} />
      {inspect && <FirstLook />}
      <Wanted verdict={v} />
      <HowTo shown={shown} />
      {tolerance && (
        <ToleranceBand tolerance={tolerance} mean={q.mean_g} u={q.u_g} resolution={q.resolution_g} />
      )}
      {tolerance && <ToleranceWords tolerance={tolerance} />}
      {v.explanations.length > 0 && <Explanations list={v.explanations} />}
      <MoreTests shown={shown} />
      {v.alloys.length > 0 && <Alloys alloys={v.alloys} coin={v.explanations.length > 0 ? coin : ""} />}
    </div>
  );
}

/** Above as many letters they are smaller, or what is asked would fall off a small screen. */
const longHeadline = 55;

function Headline({ verdict, last, provisional }: { verdict: Verdict; last: string; provisional: boolean }) {
  // Its first sentence says what it is, in letters that are read at arm's length.
  const { headline_first: what, headline_rest: more } = verdict;
  return (
    <div class="headline" data-call={verdict.call} data-last={last !== "" || undefined}>
      <Mark call={verdict.call} />
      <div>
        <p class="call">
          <span>{text.call[verdict.call]}</span>
          {last && <span class="tag">{last}</span>}
          {provisional && <span class="tag">{text.verdict.provisional}</span>}
        </p>
        <h2
          data-part="headline"
          data-long={what.length > longHeadline || undefined}
          data-call={verdict.call}
          data-last={last !== "" || undefined}
        >
          {what}
          {more && <span class="headline-more"> {more}</span>}
        </h2>
      </div>
    </div>
  );
}

function FirstUse() {
  const app = useApp();
  return (
    <div class="first-use">
      <h2>{text.firstUse.title}</h2>
      <ol>
        {text.firstUse.steps.map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <button
        type="button"
        class="button"
        onClick={() => {
          app.prefs.hintsDone.value = true;
        }}
      >
        {text.firstUse.done}
      </button>
    </div>
  );
}
