import type { RungMetal } from "../../core/ring";
import { text } from "../../text";

const width = 320;
const row = 22;
const [lowest, highest] = [3000, 22_000];

/** The place of a frequency: by semitones, as it is heard. */
export const placeOf = (hz: number): number =>
  (width * Math.log(Math.min(highest, Math.max(lowest, hz)) / lowest)) / Math.log(highest / lowest);

/** Where the metals' tones lie, and what was heard; the words beside it say the same. */
export function RingBand({ metals, heard }: { metals: RungMetal[]; heard: number[] }) {
  const drawn = metals.filter((m) => m.hz.length > 0);
  const height = row * drawn.length + 18;
  return (
    <figure class="ring-band" data-part="ring-band">
      <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true" focusable="false">
        {drawn.map((m, i) => (
          <g key={m.alloy} data-metal={m.alloy}>
            <path d={`M0 ${row * i + 17}h${width}`} class="strip-line" />
            {m.hz.map((hz, k) => {
              const [from, to] = [placeOf(hz * (1 - 2 * m.spread)), placeOf(hz * (1 + 2 * m.spread))];
              return (
                <rect
                  key={k}
                  x={from}
                  y={row * i + 12}
                  width={Math.max(3, to - from)}
                  height="9"
                  class={k === 0 ? "ring-first" : "ring-higher"}
                />
              );
            })}
            <text x="2" y={row * i + 10} class="ring-name">
              {m.name}
            </text>
          </g>
        ))}
        {heard.map((hz) => (
          <path key={hz} d={`M${placeOf(hz)} 0v${row * drawn.length + 4}`} class="ring-heard" />
        ))}
        <text x={width} y={height - 3} class="ring-tick" text-anchor="end">
          {text.ring.axis}
        </text>
        {[4000, 6000, 9000, 13_000].map((hz) => (
          <text key={hz} x={placeOf(hz)} y={height - 3} class="ring-tick">
            {hz / 1000}
          </text>
        ))}
      </svg>
      <figcaption class="quiet small">
        <p>{text.ring.bandHint}</p>
        <ul class="plain">
          {metals.map((m) => (
            <li key={m.alloy}>
              {m.hz.length > 0 ? text.ring.lies(m.name, m.hz.slice(0, 2)) : text.ring.nowhere(m.name)}
            </li>
          ))}
        </ul>
        {heard.length > 0 && <p>{text.ring.heard(heard)}</p>}
      </figcaption>
    </figure>
  );
}
