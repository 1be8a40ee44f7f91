import type { Tolerance } from "../../core/types";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { coinGrams, decimalsOf } from "../../weigh/one-weight";
import { bandGeometry } from "./band-geometry";
import { meanText, uncertaintyText } from "./figures";

const percent = (x: number): string => `${(100 * x).toFixed(2)}%`;
const anchor = (x: number) => (x < 0.22 ? "start" : x > 0.78 ? "end" : "middle");

/**
 * The tolerance as a band: the limits, the standard mass, and the weight with
 * its uncertainty lying on it. Positions are in per cent and sizes in em, so
 * that it follows the width and the text size without bending the letters.
 */
export function ToleranceBand(p: { tolerance: Tolerance; mean: number; u: number; resolution: number }) {
  const { tolerance, mean, u } = p;
  const nominal = tolerance.nominal_g;
  if (nominal === null) return null;
  const limit = tolerance.limit_g;
  const b = bandGeometry({ nominal, limit, mean, u });
  // As fine as the scale reads: more would not be seen, and less would mislead.
  const decimals = Math.min(3, Math.max(2, decimalsOf(p.resolution)));
  const low = limit === null ? "" : (nominal - limit).toFixed(decimals);
  const high = limit === null ? "" : (nominal + limit).toFixed(decimals);
  const said = {
    weight: meanText(mean, 2 * u),
    u: uncertaintyText(2 * u),
    nominal: nominal.toFixed(decimals),
  };
  return (
    <svg
      class="band"
      width="100%"
      height="5.9em"
      role="img"
      aria-label={
        limit === null ? text.tolerance.pictureNoLimit(said) : text.tolerance.picture({ ...said, low, high })
      }
      data-state={tolerance.state}
    >
      <defs>
        <pattern
          id="band-hatch"
          width="7"
          height="7"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <path d="M0 0V7" class="band-hatch" />
        </pattern>
      </defs>
      <line class="band-rule" x1="0" x2="100%" y1="3.9em" y2="3.9em" />
      {b.low !== null && b.high !== null && (
        <>
          <rect
            class="band-within"
            x={percent(b.low)}
            width={percent(b.high - b.low)}
            y="2.3em"
            height="1.6em"
          />
          <rect
            fill="url(#band-hatch)"
            x={percent(b.low)}
            width={percent(b.high - b.low)}
            y="2.3em"
            height="1.6em"
          />
          <line class="band-limit" x1={percent(b.low)} x2={percent(b.low)} y1="2.1em" y2="4.25em" />
          <line class="band-limit" x1={percent(b.high)} x2={percent(b.high)} y1="2.1em" y2="4.25em" />
        </>
      )}
      <line class="band-nominal" x1="50%" x2="50%" y1="2.3em" y2="4.25em" />
      <rect
        class="band-u2"
        x={percent(b.u2[0])}
        width={percent(b.u2[1] - b.u2[0])}
        y="2.3em"
        height="1.6em"
      />
      <line class="band-u1" x1={percent(b.u1[0])} x2={percent(b.u1[1])} y1="3.9em" y2="3.9em" />
      <line class="band-weight" x1={percent(b.mean)} x2={percent(b.mean)} y1="2em" y2="3.9em" />
      <svg x={percent(b.mean)} y="2.1em" width="1" height="1" overflow="visible" aria-hidden="true">
        {pointer(b.off)}
      </svg>
      <text class="band-label strong" x={percent(b.mean)} y="1em" text-anchor={anchor(b.mean)}>
        {b.off === null
          ? text.weight.asGrams(coinGrams(mean, p.resolution))
          : b.off === "low"
            ? text.tolerance.offLow
            : text.tolerance.offHigh}
      </text>
      <Labels b={b} low={low} high={high} nominal={said.nominal} />
    </svg>
  );
}

function pointer(off: "low" | "high" | null) {
  if (off === "low") return <path class="band-pointer" d="M-1 0l10-8v16z" />;
  if (off === "high") return <path class="band-pointer" d="M1 0l-10-8v16z" />;
  return <path class="band-pointer" d="M0 1L-7-9H7z" />;
}

function Labels(p: { b: ReturnType<typeof bandGeometry>; low: string; high: string; nominal: string }) {
  const { b, low, high, nominal } = p;
  if (b.low === null || b.high === null) {
    return (
      <text class="band-label" x="50%" y="5.3em" text-anchor="middle">
        {text.tolerance.nominal} {figure(nominal)} g
      </text>
    );
  }
  if (b.narrow) {
    return (
      <text class="band-label" x="50%" y="5.3em" text-anchor="middle">
        {text.tolerance.limit(low, high)}
      </text>
    );
  }
  return (
    <>
      <text class="band-label" x={percent(b.low)} y="5.3em" text-anchor={anchor(b.low)}>
        {figure(low)}
      </text>
      <text class="band-label quiet" x="50%" y="5.3em" text-anchor="middle">
        {figure(nominal)}
      </text>
      <text class="band-label" x={percent(b.high)} y="5.3em" text-anchor={anchor(b.high)}>
        {figure(high)} g
      </text>
    </>
  );
}
