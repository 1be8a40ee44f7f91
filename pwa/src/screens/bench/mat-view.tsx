import type { Bench } from "../../bench/bench";
import type { Act, Mat } from "../../bench/mat";
import { onGlass } from "../../bench/zoom";
import { text } from "../../text";
import { Glass, useDraw } from "./glass";
import { NumberedPlaces } from "./numbered";

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
  const places = (mat.coins.value ?? []).map((c, i) => ({
    n: i + 1,
    at: onGlass(view, glass, c),
    r: c.r * view.scale,
    sign: signs[c.act],
    data: { "data-act": c.act },
  }));
  return <NumberedPlaces places={places} glass={glass} chosen={mat.chosen.value} name="mat-numbers" />;
}
