import { useSignal } from "@preact/signals";
import type { Worth } from "../../core/scale-check";
import { Refusal } from "../../laptop/api";
import type { ScaleGuide } from "../../scale/scale-guide";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { Entry } from "../form/controls";
import { uncertaintyText } from "../weigh/figures";

/** Half of the interval that holds 95 %. */
const wide = (u: number): string => uncertaintyText(1.96 * u);

/** What the check found, and keeping it. */
export function CheckResult({ guide }: { guide: ScaleGuide }) {
  const result = guide.result.value;
  if (!result) return <p class="quiet">{text.scale.loading}</p>;
  return (
    <>
      <section class="card answer" data-part="check-result">
        <WorthTable byLoad={result.byLoad} />
        <ul class="care findings">
          {result.findings.map((f) => (
            <li key={f}>{f}</li>
          ))}
        </ul>
        {result.advice.length > 0 && (
          <>
            <h2>{text.scale.advice}</h2>
            <ul class="care">
              {result.advice.map((a) => (
                <li key={a}>{a}</li>
              ))}
            </ul>
          </>
        )}
        <details>
          <summary>{text.scale.coinWarningTitle}</summary>
          <p>{result.coinWarning}</p>
        </details>
      </section>
      <Keep guide={guide} />
      <p class="acts">
        <button type="button" class="button" onClick={() => void guide.go("end")}>
          {text.scale.furtherTitle}
        </button>
        <button type="button" class="button" data-do="undo" onClick={() => void guide.undo()}>
          {text.scale.undo}
        </button>
      </p>
    </>
  );
}

/** Loads of the table, in grams: what coins weigh. */
const loads = 50;

/** What one weighing is worth at loads from 1 to 50 g, before and after the check. */
export function WorthTable({ byLoad }: { byLoad: Worth[] }) {
  const rows = byLoad.filter((r) => r.load <= loads);
  const most = Math.max(...rows.flatMap((r) => [r.u, r.unchecked]));
  return (
    <table class="worth figures" data-part="worth">
      <caption>{text.scale.worthCaption}</caption>
      <thead>
        <tr>
          <th scope="col">{text.scale.load}</th>
          <th scope="col">{text.scale.before}</th>
          <th scope="col">{text.scale.after}</th>
          <th scope="col">{text.scale.correction}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((r) => (
          <tr key={r.load}>
            <th scope="row">{text.scale.grams(String(r.load))}</th>
            <td class="quiet">
              {text.scale.within(wide(r.unchecked))}
              <Bar share={r.unchecked / most} kind="worth-before" />
            </td>
            <td>
              {text.scale.within(wide(r.u))}
              {r.assumed && <span class="quiet small"> {text.scale.assumedMark}</span>}
              <Bar share={r.u / most} kind="worth-after" />
            </td>
            <td>{correctionText(r)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The lengths say what the figures beside them say. */
function Bar({ share, kind }: { share: number; kind: string }) {
  return (
    <svg
      class="worth-bar"
      viewBox="0 0 100 4"
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <rect width={Math.max(2, 100 * share)} height="4" class={kind} />
    </svg>
  );
}

/** With as many decimals as the uncertainty has; what rounds to nothing is none. */
function correctionText(r: Worth): string {
  const decimals = wide(r.u).split(".")[1]?.length ?? 0;
  const said = r.correction.toFixed(decimals);
  return Number(said) === 0 ? text.scale.zeroCorrection : text.scale.signed(said);
}

function Keep({ guide }: { guide: ScaleGuide }) {
  const app = useApp();
  const fault = useSignal("");
  const name = useSignal("");
  const d = guide.draft.value;
  const r = app.live.reading.value;
  const live = "scale" in r && r.scale?.format ? { name: r.scale.name, format: r.scale.format } : null;
  // Numbers that were typed belong to the scale that weighs, unless none does.
  const scale = d.scale ?? live;

  async function keep(e: Event) {
    e.preventDefault();
    if (!scale && !name.value.trim()) {
      fault.value = text.scale.keepUnnamed;
      return;
    }
    try {
      await app.keptCheck.keep(guide.check, scale ?? { name: name.value.trim(), format: "" });
      await guide.keptOnLaptop(scale ? "connected" : "named");
      location.hash = addressOf("scale");
    } catch (cause) {
      fault.value = (cause instanceof Refusal && cause.sentence) || text.scale.keepFailed;
    }
  }

  return (
    <form class="tool-form" noValidate onSubmit={(e) => void keep(e)}>
      {!scale && (
        <Entry
          wide
          name="scale-name"
          label={text.scale.keepName}
          mode="text"
          most={60}
          hint={text.scale.keepNameHint}
          value={name.value}
          onType={(typed) => {
            name.value = typed;
          }}
        />
      )}
      <div class="wide" role="alert">
        {fault.value && <p class="problem">{fault.value}</p>}
      </div>
      <button type="submit" class="button main" data-do="keep">
        {text.scale.keep} {scale && <span class="small">{text.scale.keepFor(scale.name)}</span>}
      </button>
    </form>
  );
}
