import type { Signal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import {
  legible,
  PatternTrial,
  patternFrom,
  type RawLine,
  type ScaleSettings,
  type ScaleView,
  type TriedLine,
} from "../../scale/scale-hand";
import { text } from "../../text";
import { useApp } from "../../view/context";

/** The lines to look at: of the port in use, else what a search heard somewhere. */
export function linesOf(view: ScaleView, port: string): RawLine[] {
  if (view.lines.length > 0) return view.lines;
  const named = view.ports.find((p) => p.port === port);
  if (named && named.heard.length > 0) return named.heard;
  return view.ports.find((p) => p.found === "speaks" && p.heard.length > 0)?.heard ?? [];
}

/** The last lines as they came, with what the pattern makes of each while it is typed. */
export function RawLines({ view, form }: { view: ScaleView; form: Signal<ScaleSettings> }) {
  const app = useApp();
  const trying = useMemo(() => new PatternTrial(app.api), [app]);
  const lines = linesOf(view, form.value.port);
  const pattern = form.value.pattern;
  const key = lines.map((l) => l.raw).join("\n");
  // Asked anew for other lines, not for another list of the same.
  useEffect(() => void trying.ask(pattern, lines), [trying, pattern, key]);
  const trial = trying.trial.value;
  const fit = trial?.lines.filter((l) => l.stop === 0 && !l.problem).length ?? 0;
  const newest = lines[0];
  return (
    <section class="card" aria-labelledby="lines-title" data-part="raw-lines">
      <h2 id="lines-title">{text.scaleHand.linesTitle}</h2>
      <p class="quiet small">{lines.length ? text.scaleHand.linesHint : text.scaleHand.linesNone}</p>
      <ol class="plain raw-lines">
        {lines.map((l, i) => (
          <li key={l.raw}>
            <code>
              <Marked raw={l.raw} tried={trial?.at === 0 ? trial.lines[i] : undefined} />
            </code>
            <span class="quiet small figures">{text.scaleHand.timesSeen(l.times)}</span>
            {trial?.at === 0 && trial.lines[i] && <Made of={trial.lines[i]} />}
          </li>
        ))}
      </ol>
      <label class="field pattern-field">
        <span>{text.scaleHand.pattern}</span>
        <input
          name="pattern"
          autocomplete="off"
          autocapitalize="off"
          autocorrect="off"
          spellcheck={false}
          maxLength={200}
          value={pattern}
          aria-invalid={(trial !== null && trial.at > 0) || undefined}
          onInput={(e) => {
            const typed = e.currentTarget.value;
            form.value = { ...form.value, pattern: typed, ...(typed ? { format: "" } : {}) };
          }}
        />
      </label>
      <p role="status" data-part="trial" data-fit={trial?.at === 0 ? fit : undefined}>
        {pattern &&
          trial &&
          (trial.at > 0 ? trial.sentence : text.scaleHand.patternGood(fit, trial.lines.length))}
        {pattern && !trial && <span class="quiet">{text.scaleHand.patternAway}</span>}
      </p>
      {!pattern && newest && patternFrom(newest.raw) && (
        <p class="acts">
          <button
            type="button"
            class="button"
            data-do="pattern-from-line"
            onClick={() => {
              form.value = { ...form.value, pattern: patternFrom(newest.raw), format: "" };
            }}
          >
            {text.scaleHand.patternFromLine}
          </button>
        </p>
      )}
      <details>
        <summary>{text.scaleHand.patternHelp}</summary>
        <p>{text.scaleHand.patternIntro}</p>
        <dl class="pattern-parts">
          {text.scaleHand.patternParts.map(([part, means]) => (
            <div key={part}>
              <dt>
                <code>{part}</code>
              </dt>
              <dd>{means}</dd>
            </div>
          ))}
        </dl>
        <p>{text.scaleHand.patternWhole}</p>
      </details>
    </section>
  );
}

/** The line, with what the pattern doesn't explain set apart. */
function Marked({ raw, tried }: { raw: string; tried: TriedLine | undefined }) {
  if (!tried || tried.stop === 0) return <>{legible(raw)}</>;
  return (
    <>
      {legible(raw.slice(0, tried.stop - 1))}
      <mark>{legible(raw.slice(tried.stop - 1)) || "\u00a0"}</mark>
    </>
  );
}

function Made({ of: l }: { of: TriedLine }) {
  const states: Record<string, string> = text.scaleHand.states;
  const words =
    l.stop > 0
      ? text.scaleHand.fitsNot(l.stop - 1)
      : l.problem && !l.value
        ? l.problem
        : [l.value && text.scaleHand.fits(l.value, l.unit), states[l.status]].filter(Boolean).join(", ");
  return (
    <span class="made small" data-fits={(l.stop === 0 && !l.problem) || undefined}>
      {words}
    </span>
  );
}
