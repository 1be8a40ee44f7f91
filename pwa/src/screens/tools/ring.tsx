import { useComputed, useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import type { Told } from "../../core/ring";
import { browserMicrophone } from "../../senses/microphone";
import { Ringing, ringsWanted } from "../../senses/ringing";
import type { SensesWorker } from "../../senses/senses";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { ToolPage, toWeighing } from "./page";
import "./ring.css";
import { RingBand } from "./ring-band";

const startWorker = () =>
  new Worker(new URL("../../senses/senses.worker.ts", import.meta.url), { type: "module" }) as SensesWorker;

/** A coin is tapped and the phone hears of which metal it is. */
export function RingScreen() {
  const app = useApp();
  const ringing = useMemo(
    () => new Ringing({ core: app.core, storage: app.storage, open: browserMicrophone, worker: startWorker }),
    [app],
  );
  const country = app.prefs.country.value;
  const picked = useSignal(app.denomination.peek()?.id ?? "");
  useEffect(() => {
    // The microphone is on only while the page that says so is looked at.
    const leave = () => document.hidden && ringing.stop();
    document.addEventListener("visibilitychange", leave);
    return () => {
      document.removeEventListener("visibilitychange", leave);
      ringing.stop();
    };
  }, [ringing]);
  useEffect(() => {
    void ringing.about({ country, denomination: picked.value });
  }, [ringing, country, picked.value]);
  const told = ringing.told.value;
  return (
    <ToolPage tool="ring" title={text.toolbox.names.ring} back={toWeighing()}>
      <p>{text.ring.intro}</p>
      <label class="field">
        <span>{text.ring.coin}</span>
        <select
          name="denomination"
          value={picked.value}
          onChange={(e) => {
            picked.value = e.currentTarget.value;
          }}
        >
          <option value="">{text.ring.choose}</option>
          {app.denominations.value.map((d) => (
            <option key={d.id} value={d.id}>
              {d.name}
            </option>
          ))}
        </select>
      </label>
      {picked.value && <Listen ringing={ringing} />}
      {ringing.fault.value && (
        <p class="problem" role="alert">
          {ringing.fault.value}
        </p>
      )}
      {told && picked.value && <Answer ringing={ringing} told={told} />}
      {picked.value && <Known ringing={ringing} told={told} />}
    </ToolPage>
  );
}

/** The microphone, whether it is on, and what it heard last. */
function Listen({ ringing }: { ringing: Ringing }) {
  const state = ringing.state.value;
  const n = ringing.rings.value.length;
  const listening = state.is === "on" || state.is === "starting";
  // −60 dB is a quiet room, 0 dB full scale.
  const loud = useComputed(() => Math.max(0, Math.min(1, (ringing.level.value + 70) / 70)));
  return (
    <section class="card ring-listen" data-part="ring-listen" data-state={state.is} data-rings={n}>
      <p class="ring-microphone" data-on={state.is === "on" || undefined}>
        {state.is === "starting" ? text.ring.starting : state.is === "on" ? text.ring.on : text.ring.off}
      </p>
      {listening ? (
        <button type="button" class="button" data-do="stop-listening" onClick={() => ringing.stop()}>
          {text.ring.stop}
        </button>
      ) : (
        <button type="button" class="button main" data-do="listen" onClick={() => void ringing.start()}>
          {ringing.evidence.value ? text.ring.listenAgain : text.ring.listen}
        </button>
      )}
      {state.is === "on" && (
        <meter class="ring-level" min={0} max={1} value={loud.value} aria-hidden="true" />
      )}
      <div role="status">
        {state.is === "on" && (
          <p class="answer-words">{n === 0 ? text.ring.tapNow : text.ring.tapMore(ringsWanted - n)}</p>
        )}
        {(n > 0 || state.is === "on") && <p class="figures">{text.ring.count(n, ringsWanted)}</p>}
        {ringing.refused.value && state.is !== "trouble" && (
          <p class="problem" data-part="ring-refused" data-why={ringing.refused.value}>
            {text.ring.refusals[ringing.refused.value]}
          </p>
        )}
      </div>
      {state.is === "trouble" && (
        <p class="problem" role="alert" data-part="ring-trouble" data-why={state.why}>
          {text.ring.troubles[state.why]}
        </p>
      )}
      {state.is === "on" && n > 0 && (
        <button type="button" class="button" data-do="take-ring-back" onClick={() => ringing.takeBack()}>
          {text.ring.takeBack}
        </button>
      )}
    </section>
  );
}

/** What the ring tells, with where the metals lie. */
function Answer({ ringing, told }: { ringing: Ringing; told: Told }) {
  const heard = ringing.evidence.value;
  const tells = heard !== null && told.why !== "one-metal" && told.why !== "scale";
  return (
    <section class="card" data-part="ring-answer" data-alloy={told.alloy} data-why={told.why ?? ""}>
      <p class="answer-words" role="status">
        {answerWords(told)}
      </p>
      {tells && <UseForVerdict ringing={ringing} />}
      <RingBand metals={told.metals} heard={heard?.hz ?? newest(ringing)} />
      {tells && (
        <>
          <h2>{text.ring.chances}</h2>
          <ul class="plain">
            {told.metals.map((m) => (
              <li key={m.alloy}>{text.ring.chance(m.name, text.percent(m.probability))}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

/** A metal less likely than this isn't named among those that may have rung so. */
const likely = 0.02;

function answerWords(told: Told): string {
  const best = told.metals.find((m) => m.alloy === told.alloy);
  if (best) return text.ring.answers.told(best.name);
  const why = told.why ?? "not-rung";
  if (why !== "several-fit") return text.ring.answers[why];
  return text.ring.answers[why](told.metals.filter((m) => m.probability >= likely).map((m) => m.name));
}

/** The partials of the ring heard last, before there are three. */
const newest = (ringing: Ringing): number[] => ringing.rings.value.at(-1)?.peaks.map((p) => p.hz) ?? [];

/** The ring as evidence: of the coin that was weighed last, or of the one that comes. */
function UseForVerdict({ ringing }: { ringing: Ringing }) {
  const { evidence, liveVerdict, manualWeight } = useApp();
  const ring = ringing.asEvidence();
  const glass = manualWeight.on.value ? manualWeight : liveVerdict;
  const shown = glass.current.value ?? glass.last.value;
  const weighed = shown !== null && shown.placement === evidence.coin;
  const used = evidence.given.value.ring === ring;
  const later = evidence.before.value.ring === ring;
  if (used || later) {
    return (
      <>
        <p role="status">{used ? text.ring.used : text.ring.usedLater}</p>
        <button
          type="button"
          class="button wide"
          data-do="take-ring-out"
          onClick={() => {
            if (used) evidence.remove("ring");
            else {
              const { ring: _, ...rest } = evidence.before.value;
              evidence.before.value = rest;
            }
          }}
        >
          {text.ring.takeOut}
        </button>
        <a class="button wide" href={toWeighing().href} data-do="to-verdict">
          {toWeighing().words}
        </a>
      </>
    );
  }
  return (
    <button
      type="button"
      class="button main wide"
      data-do="use-ring"
      onClick={() => {
        if (weighed) evidence.set("ring", ring);
        else evidence.putBy({ ring });
      }}
    >
      {text.ring.use}
    </button>
  );
}

/** A coin of known metal that was rung first. */
function Known({ ringing, told }: { ringing: Ringing; told: Told | null }) {
  const known = ringing.known.value;
  const rung = ringing.evidence.value !== null;
  return (
    <details class="card" data-part="ring-known" data-known={known?.planchet}>
      <summary>{known ? text.ring.knownIs(known.name, known.coins) : text.ring.known}</summary>
      <div class="inside">
        <p>{text.ring.knownHint}</p>
        {known && (
          <button type="button" class="button" data-do="forget-known" onClick={() => ringing.forgetKnown()}>
            {text.ring.knownForget}
          </button>
        )}
        {rung &&
          told?.metals
            .filter((m) => m.hz.length > 0)
            .map((m) => (
              <button
                key={m.alloy}
                type="button"
                class="button"
                data-known={m.alloy}
                onClick={() => ringing.keepAsKnown(m.planchet, m.name)}
              >
                {text.ring.knownTake(m.name)}
              </button>
            ))}
      </div>
    </details>
  );
}
