import { lineLostWords } from "../../laptop/line-words";
import type { Phase } from "../../live/wire";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp, useView } from "../../view/context";
import { I, type IconName } from "../../view/icons";
import { cameraKind } from "../../weigh/keepable-coin";
import { coinGrams } from "../../weigh/one-weight";
import type { Reading } from "../../weigh/reading";
import { stepText, uncertaintyText } from "./figures";
import { ManualWeightPanel } from "./manual-weight-panel";
import { ScaleNote, WayToScale } from "./scale-note";
import { UnitQuestion } from "./unit-question";
import { WaysToWeigh } from "./ways-to-weigh";

/** The live weight, readable at arm's length: the scale's own digits, their age, and what to trust of them. */
export function WeightPanel() {
  const app = useApp();
  if (app.manualWeight.on.value) return <ManualWeightPanel />;
  const reading = app.live.reading.value;
  return (
    <section class="weight" aria-label={text.weight.title} data-is={reading.is}>
      {reading.is === "weight" ? (
        <Digits r={reading} />
      ) : (
        <NoNumber r={reading} line={app.live.connection.value} />
      )}
    </section>
  );
}

type WeightReading = Extract<Reading, { is: "weight" }>;

function Digits({ r }: { r: WeightReading }) {
  // At rest a coin has one number, corrected; the display that moves is the scale's own.
  const one = r.phase === "settled" && !r.stale ? r.load : null;
  const digits = one ? coinGrams(one.mean, one.resolution) : (r.shown ?? text.weight.noNumber);
  const withheld = r.phase === "withheld";
  const hint =
    r.phase === "withheld" || r.phase === "over" || r.phase === "under" ? text.phaseHint[r.phase] : null;
  return (
    <>
      <div class="weight-top">
        <PhaseWord phase={r.phase} stale={r.stale} />
        <Age r={r} />
        <WaysToWeigh />
      </div>
      <p
        class="digits"
        data-len={Math.min(8, Math.max(4, digits.length))}
        data-stale={r.stale || undefined}
        data-withheld={withheld || undefined}
        data-unconfirmed={r.unconfirmed !== null || undefined}
      >
        <span data-part="weight">{figure(digits)}</span>
        {r.shown !== null && (
          <span class="unit" data-part="unit">
            {one ? "g" : r.unit}
          </span>
        )}
      </p>
      <PanLine phase={r.stale ? "none" : r.phase} />
      {hint && <p class="weight-hint">{hint}</p>}
      {r.stale && <p class="weight-hint">{text.weight.staleHint}</p>}
      {r.unconfirmed && <p class="weight-hint">{text.camera.compare}</p>}
      {!hint && !r.stale && <Trust r={r} display={one ? r.shown : null} />}
    </>
  );
}

function PhaseWord({ phase, stale }: { phase: Phase; stale: boolean }) {
  return (
    <p class="phase" data-part="phase" data-phase={phase} data-stale={stale || undefined}>
      <I name={phase} />
      <span>{text.phase[phase]}</span>
    </p>
  );
}

function Age({ r }: { r: WeightReading }) {
  const words = r.seconds === 0 ? text.weight.now : text.weight.old(r.seconds);
  if (!r.stale) {
    return (
      <p class="age" data-part="age">
        {words}
      </p>
    );
  }
  return (
    <p class="age stale" data-part="age">
      <I name="stale" />
      <span>
        <span data-part="stale">{text.weight.stale}</span> · {words}
      </span>
    </p>
  );
}

/** What the scale itself shows, its step, its uncertainty, and whether that was measured. */
function Trust({ r, display }: { r: WeightReading; display: string | null }) {
  const view = useView();
  return (
    <ul class="plain trust">
      {display !== null && <li data-part="display">{text.weight.onScale(display.trim(), r.unit)}</li>}
      {display === null && r.load && r.unit !== "g" && (
        <li>{text.weight.asGrams(coinGrams(r.load.mean, r.load.resolution))}</li>
      )}
      {r.resolution !== null && <li data-part="resolution">{text.weight.readsTo(stepText(r.resolution))}</li>}
      {r.load && (
        <li data-part="u" title={text.weight.withinTitle}>
          {text.weight.within(uncertaintyText(2 * r.load.u))}
          {r.scale && <ScaleNote scale={r.scale} />}
        </li>
      )}
      {r.scale &&
        (r.scale.kind === "virtual" ? (
          <li class="practice-way">
            <button
              type="button"
              class="quiet-button"
              data-do="practice"
              onClick={() => {
                view.sheet.value = "practice";
              }}
            >
              {text.nav.practice}
            </button>
          </li>
        ) : (
          <li class="scale-name" data-kind={r.scale.kind}>
            {r.scale.kind === cameraKind ? text.camera.by(r.scale.name) : r.scale.name}
          </li>
        ))}
    </ul>
  );
}

/** The pan under the number: level when the load rests, tilting while it settles. */
function PanLine({ phase }: { phase: Phase }) {
  return (
    <svg
      class="pan-line"
      data-phase={phase}
      viewBox="0 0 320 14"
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <path class="pan-dish" d="M4 3C60 13 260 13 316 3" />
    </svg>
  );
}

function NoNumber({ r, line }: { r: Exclude<Reading, WeightReading>; line: keyof typeof text.line }) {
  const app = useApp();
  const lost = line === "waiting";
  const said = saidOf(r, lost ? lineLostWords(app.session) : "");
  const ask = r.is === "problem" && !lost ? r.ask : null;
  const scale = "scale" in r ? (r.scale?.name ?? "") : "";
  return (
    <>
      <div class="weight-top">
        <p class="phase" data-part="phase" data-phase="none">
          {said.title}
        </p>
        <WaysToWeigh />
        {r.is === "gone" && (
          <p class="age stale" data-part="age">
            <I name="stale" />
            <span>{text.weight.old(r.seconds)}</span>
          </p>
        )}
      </div>
      {!ask && (
        <p class="no-number">
          <I name={said.icon} />
          <span data-part="weight">{text.weight.noNumber}</span>
        </p>
      )}
      {!ask && <PanLine phase="none" />}
      {ask && <UnitQuestion ask={ask} scale={scale} />}
      {said.sentence && !ask && (
        <p class="problem" data-part="problem" data-code={said.code}>
          {said.sentence}
        </p>
      )}
      <WayToScale code={said.code} />
      <button
        type="button"
        class="button type-instead"
        onClick={() => {
          app.manualWeight.on.value = true;
        }}
      >
        {text.typed.open}
      </button>
    </>
  );
}

function saidOf(
  r: Exclude<Reading, WeightReading>,
  /** What is said of a line that is gone; empty while it isn’t. */
  lost: string,
): { icon: IconName; title: string; sentence: string; code: string } {
  if (r.is === "problem") {
    const { code } = r.problem;
    const { over, under } = text.phase;
    const title = code === "overload" ? over : code === "underload" ? under : text.weight.none;
    return { icon: problemIcon(code), title, sentence: r.problem.sentence, code };
  }
  if (lost) return { icon: "lineLost", title: text.weight.none, sentence: lost, code: "line-lost" };
  if (r.is === "gone")
    return { icon: "stale", title: text.weight.none, sentence: text.weight.staleHint, code: "stale" };
  return { icon: "none", title: text.phase.none, sentence: "", code: "" };
}

function problemIcon(code: string): IconName {
  switch (code) {
    case "port-lost":
    case "port-missing":
    case "no-scale":
      return "plug";
    case "overload":
      return "over";
    case "underload":
      return "under";
    default:
      return "warning";
  }
}
