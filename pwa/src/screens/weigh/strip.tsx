import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { I, type IconName, Mark } from "../../view/icons";
import { coinGrams } from "../../weigh/one-weight";

/**
 * Weight and verdict in one row, while what stands below them is read; a tap
 * leads back to them. It says what the panel says: nothing stale, no weight
 * where there is none, and whose verdict it is.
 */
export function Strip({ onTap }: { onTap(): void }) {
  const { weight, phase } = useWeight();
  const verdict = useVerdict();
  return (
    <button
      type="button"
      class="reading-strip"
      data-part="strip"
      data-call={verdict?.on ? verdict.call : undefined}
      onClick={onTap}
    >
      <span class="unseen">{text.nav.toTop}: </span>
      {verdict && !phase ? <Mark call={verdict.call} /> : <I name={phase ?? "none"} />}
      {weight && <span class="strip-weight figures">{weight}</span>}
      <span class="strip-words">{verdict?.words || (phase && phaseWords(phase))}</span>
    </button>
  );
}

/** The one number, and the phase where it is no settled weight. */
function useWeight(): { weight: string; phase: IconName | null } {
  const app = useApp();
  const { digits } = app.manualWeight;
  if (app.manualWeight.on.value) {
    return { weight: digits.value && text.weight.asGrams(digits.value), phase: null };
  }
  const r = app.live.reading.value;
  if (r.is !== "weight") return { weight: "", phase: r.is === "problem" ? "warning" : "stale" };
  if (r.stale) return { weight: "", phase: "stale" };
  if (r.phase !== "settled" && r.phase !== "moving") return { weight: "", phase: r.phase };
  if (r.phase === "settled" && r.load) {
    return { weight: text.weight.asGrams(coinGrams(r.load.mean, r.load.resolution)), phase: null };
  }
  return { weight: r.shown === null ? "" : `${figure(r.shown)}\u00a0${r.unit}`, phase: null };
}

function phaseWords(phase: IconName): string {
  if (phase === "stale") return text.weight.stale;
  if (phase === "warning") return text.weight.none;
  return (text.phase as Record<string, string>)[phase] ?? "";
}

/** The verdict of the coin on the pan, or that of the last one, named as such. */
function useVerdict() {
  const app = useApp();
  const r = app.live.reading.value;
  const { current, last } = app.manualWeight.on.value ? app.manualWeight : app.liveVerdict;
  const on = current.value;
  if (on && (app.manualWeight.on.value || (r.is === "weight" && !r.stale))) {
    const { call, headline } = on.verdict;
    return { call, on: true, words: `${text.call[call]}: ${headline}` };
  }
  const { value: before } = last;
  if (before && r.is === "weight" && !r.stale) {
    return {
      call: before.verdict.call,
      on: false,
      words: `${text.verdict.lastCoin}: ${before.verdict.headline}`,
    };
  }
  return null;
}
