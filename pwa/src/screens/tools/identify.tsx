import { type Signal, useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import {
  type IdentificationKey,
  type KeyEnd,
  type KeyKind,
  type KeyQuestion,
  readKey,
  type Step,
  standOf,
  stepsTo,
  stillSaid,
  walk,
} from "../../core/identification";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { Drawing } from "../weigh/drawing";
import { rarityWords } from "../weigh/look-words";
import { Identified } from "./identified";
import { ToolPage, toWeighing } from "./page";
import { saidByScale } from "./said";
import { useAsking } from "./use-asking";

/** From what the eye sees, question by question, to a name or an honest end; begun at a question where a place names one. */
export function IdentifyScreen({ begin }: { begin: string }) {
  const app = useApp();
  const asking = useAsking<IdentificationKey>("key", readKey);
  const steps = useSignal<Step[]>([]);
  const from = app.manualWeight.on.value ? app.manualWeight : app.liveVerdict;
  const shown = from.current.value ?? from.last.value;
  const said = saidByScale(shown);
  const saidKey = JSON.stringify(said);
  const waiting = app.coreHost.value === "waiting";
  // Asked again when the weighing says something else
  useEffect(() => {
    void asking.ask(said);
  }, [asking, saidKey, waiting]);
  const view = asking.view.value;
  return (
    <ToolPage tool="identify" title={text.toolbox.names.identify} back={toWeighing()}>
      {(view.is === "idle" || view.is === "asking") && <p class="quiet">{text.identify.loading}</p>}
      {view.is === "failed" && <p class="problem">{view.fault.sentence || text.toolbox.failed}</p>}
      {view.is === "answer" && <Walk k={view.value} steps={steps} begin={begin} />}
    </ToolPage>
  );
}

function Walk({ k, steps, begin }: { k: IdentificationKey; steps: Signal<Step[]>; begin: string }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (begin) steps.value = stepsTo(k, begin);
  }, [begin]);
  // Another coin, or another weight: what the scale said of the one before goes.
  useEffect(() => {
    const held = stillSaid(k, steps.peek());
    if (held.length < steps.peek().length) steps.value = held;
  }, [k, steps]);
  const stand = standOf(k, steps.value);
  const at = steps.value.length;
  const before = useRef(at);
  useEffect(() => {
    if (before.current === at) return;
    before.current = at;
    heading.current?.focus({ preventScroll: true });
    scrollTo(0, 0);
  }, [at]);
  if (!stand) return <p class="problem">{text.toolbox.failed}</p>;
  return (
    <>
      <section class="card walk" data-part="walk" data-at={stand.at}>
        {stand.at === "question" && (
          <Question
            q={stand.question}
            filled={k.filled.get(stand.question.id)}
            heading={heading}
            onSay={(n) => {
              steps.value = walk(k, steps.value, n);
            }}
          />
        )}
        {stand.at === "kind" && <Kind kind={stand.kind} heading={heading} />}
        {stand.at === "end" && <End end={stand.end} heading={heading} />}
      </section>
      {at > 0 && (
        <div class="walk-back">
          <button
            type="button"
            class="button"
            data-do="step-back"
            onClick={() => {
              steps.value = steps.value.slice(0, -1);
            }}
          >
            {text.identify.back}
          </button>
          <button
            type="button"
            class="button"
            data-do="restart"
            onClick={() => {
              steps.value = [];
            }}
          >
            {text.identify.start}
          </button>
        </div>
      )}
      {at > 0 && <Trail k={k} steps={steps} />}
    </>
  );
}

type Heading = { current: HTMLHeadingElement | null };

function Question(props: {
  q: KeyQuestion;
  filled: number | undefined;
  heading: Heading;
  onSay: (n: number) => void;
}) {
  const { q } = props;
  return (
    <>
      <h2 ref={props.heading} tabIndex={-1}>
        {q.ask}
      </h2>
      <Drawing name={q.drawing} />
      {q.help && <p>{q.help}</p>}
      <ul class="plain choices answers">
        {q.answers.map((a, n) => (
          <li key={a.say}>
            <button type="button" class="choice" data-answer={n} onClick={() => props.onSay(n)}>
              <span>{a.say}</span>
              {props.filled === n && <span class="tag">{text.identify.fits}</span>}
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}

function Kind({ kind, heading }: { kind: KeyKind; heading: Heading }) {
  const facts = (["see", "where", "light", "mimics", "decides", "weight", "rarity", "sure"] as const).filter(
    (f) => kind[f],
  );
  return (
    <>
      <p class="quiet">{text.identify.kind}</p>
      <h2 ref={heading} tabIndex={-1} data-kind={kind.id}>
        {kind.name}
      </h2>
      {kind.lookAlike && <p class="tag look-alike">{text.identify.lookAlike}</p>}
      <Drawing name={kind.id} />
      <dl class="facts">
        {facts.map((f) => (
          <div key={f}>
            <dt>{text.identify[f === "mimics" && kind.lookAlike ? "takenFor" : f]}</dt>
            <dd>{f === "rarity" ? rarityWords(kind[f]) : kind[f]}</dd>
          </div>
        ))}
      </dl>
      <Identified kind={kind} />
      <p>{text.identify.expert}</p>
    </>
  );
}

function End({ end, heading }: { end: KeyEnd; heading: Heading }) {
  return (
    <>
      <h2 ref={heading} tabIndex={-1}>
        {text.identify.end}
      </h2>
      <Drawing name={end.drawing} />
      <p>{end.text}</p>
      {end.photograph.length > 0 && (
        <>
          <h3>{text.identify.photograph}</h3>
          <ul class="care">
            {end.photograph.map((p) => (
              <li key={p}>{p}</li>
            ))}
          </ul>
        </>
      )}
      <p>{text.identify.expert}</p>
    </>
  );
}

/** What was said so far; a tap on a question goes back to it. */
function Trail({ k, steps }: { k: IdentificationKey; steps: Signal<Step[]> }) {
  return (
    <section aria-labelledby="trail-title">
      <h2 id="trail-title">{text.identify.trail}</h2>
      <ol class="plain trail">
        {steps.value.map((s, i) => {
          const q = k.questions.get(s.question);
          return (
            <li key={s.question}>
              <button
                type="button"
                class="trail-step"
                onClick={() => {
                  steps.value = steps.value.slice(0, i);
                }}
              >
                <span class="quiet">{q?.ask}</span>
                <span>{q?.answers[s.answer]?.say}</span>
                {s.byScale && <span class="tag">{text.identify.byScale}</span>}
              </button>
            </li>
          );
        })}
      </ol>
    </section>
  );
}
