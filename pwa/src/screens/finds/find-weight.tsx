import type { Find, TraceOf } from "../../core/journal";
import { text } from "../../text";
import { cameraKind } from "../../weigh/keepable-coin";
import { meanText, uncertaintyText } from "../weigh/figures";
import { dayWords, weightWords } from "./words";

/** The weight with everything that says how good it is. */
export function FindWeight({ find }: { find: Find }) {
  const w = find.weight;
  if (!w) return null;
  const { scale, calibration } = w;
  return (
    <details class="more-panel" data-part="find-weight">
      <summary>{text.finds.weighing}</summary>
      <p class="figures">{weightWords(find)}</p>
      <p class="quiet small">
        {scale?.kind === cameraKind
          ? text.finds.byCamera
          : scale
            ? text.finds.asShown
            : text.finds.typedWeight}
        {w.mean_g !== undefined && w.u_g !== undefined && (
          <>, {text.finds.meant(meanText(w.mean_g, 2 * w.u_g), uncertaintyText(2 * w.u_g))}</>
        )}
      </p>
      {find.trace && find.trace.shown.length > 1 && <TracePicture trace={find.trace} />}
      {scale?.name && (
        <p class="small">
          {text.finds.scale}: {scale.name}
          {scale.dialect && ` (${scale.dialect})`}
          {scale.assumed && `, ${text.finds.scaleAssumed}`}
          {calibration?.at ? `, ${text.finds.scaleChecked(dayWords(calibration.at))}` : ""}
        </p>
      )}
    </details>
  );
}

/** The readings over time, as the scale's own digits gave them. */
function TracePicture({ trace }: { trace: TraceOf }) {
  const points = trace.shown.flatMap((shown, i) => {
    const y = Number.parseFloat(shown);
    return Number.isFinite(y) ? [{ x: trace.after[i] ?? 0, y }] : [];
  });
  if (points.length < 2) return null;
  const last = Math.max(1, ...points.map((p) => p.x));
  const low = Math.min(...points.map((p) => p.y));
  const high = Math.max(...points.map((p) => p.y));
  const range = high - low || 1;
  const line = points
    .map((p) => `${((p.x / last) * 300).toFixed(1)},${(44 - ((p.y - low) / range) * 40).toFixed(1)}`)
    .join(" ");
  return (
    <figure class="trace">
      <svg viewBox="-2 0 304 48" role="img" aria-label={text.finds.tracePicture(String(low), String(high))}>
        <polyline points={line} />
      </svg>
      <figcaption class="quiet small">
        {text.finds.trace(trace.shown.length, (last / 1000).toFixed(1))}
      </figcaption>
    </figure>
  );
}
