import type { Bench } from "../../bench/bench";
import type { Hints } from "../../bench/hints";
import type { SideLight } from "../../bench/side-light";
import { mapped, onGlass, type Point, thenMap } from "../../bench/zoom";
import { LightView, reliefMap } from "./light-panel";
import { NumberedPlaces } from "./numbered";

/** The coin's relief with each mark's number on it, or what is shown in its place; a tap takes a mark into the hand. */
export function HintsView({ bench, light, hints }: { bench: Bench; light: SideLight; hints: Hints }) {
  const comparing = hints.comparing.value;
  const map = reliefMap(bench, light);
  const [k = 1, , , , x = 0, y = 0] = map;
  const there = hints.instead;
  return (
    <LightView
      bench={bench}
      light={light}
      instead={there && { light: there.light, map: thenMap(there.map, map) }}
      onTap={(at: Point) => hints.tap({ x: (at.x - x) / k, y: (at.y - y) / k })}
    >
      {comparing.is === "compared" && <Marks bench={bench} hints={hints} map={map} />}
    </LightView>
  );
}

function Marks({ bench, hints, map }: { bench: Bench; hints: Hints; map: readonly number[] }) {
  const comparing = hints.comparing.value;
  const view = bench.zoom.view.value;
  const glass = bench.zoom.glass.value;
  const looked = hints.work.now.value;
  if (comparing.is !== "compared") return null;
  const places = comparing.hints.map((h, i) => {
    const at = onGlass(view, glass, mapped(map, h));
    const r = h.r * (map[0] ?? 1) * view.scale;
    const ticked = looked.has(i + 1);
    return {
      n: i + 1,
      at,
      r,
      // On the circle, not on what lies in it; and on the glass, where the circle is wider than that.
      numberAt: { x: at.x, y: Math.max(at.y - r, 16) },
      sign: ticked ? " ✓" : "",
      data: { "data-hint": h.kind, "data-looked": ticked || undefined },
    };
  });
  return <NumberedPlaces places={places} glass={glass} chosen={hints.chosen.value} name="hint-marks" />;
}
