import type { Bench } from "../../bench/bench";
import type { Act, Mat } from "../../bench/mat";
import { onGlass } from "../../bench/zoom";
import { text } from "../../text";
import { Glass, useDraw } from "./glass";

/** What stands behind a number on the picture, so that it isn't told by color alone. */
export const signs: Record<Act, string> = { "pick-up": " ↑", turn: " ↻", look: " ?", leave: "" };

/** The photo with each coin's number on it; a tap takes a coin into the hand. */
export function MatView({ bench, mat }: { bench: Bench; mat: Mat }) {
  const draw = useDraw(bench.picture.bitmap);
  return (
    <Glass zoom={bench.zoom} label={text.bench.picture} draw={draw} onTap={(at) => mat.tap(at)}>
      <Numbers bench={bench} mat={mat} />
    </Glass>
  );
}

function Numbers({ bench, mat }: { bench: Bench; mat: Mat }) {
  const view = bench.zoom.view.value;
  const glass = bench.zoom.glass.value;
  const chosen = mat.chosen.value;
  const coins = (mat.coins.value ?? []).map((c, i) => ({ ...c, n: i + 1, at: onGlass(view, glass, c) }));
  const circles = coins.map(({ n, at, r, act }) => (
    <circle
      key={n}
      cx={at.x}
      cy={at.y}
      r={r * view.scale}
      data-act={act}
      data-chosen={n === chosen || undefined}
    />
  ));
  return (
    <svg
      class="glass-lines mat-numbers"
      width={glass.width}
      height={glass.height}
      aria-hidden="true"
      focusable="false"
      data-part="mat-numbers"
    >
      <g class="under">{circles}</g>
      <g class="over">{circles}</g>
      {coins.map(({ n, at, act }) => (
        <text key={n} x={at.x} y={at.y}>
          {n}
          {signs[act]}
        </text>
      ))}
    </svg>
  );
}
