import type { Face } from "../../bench/lit";
import type { Level, SidesTurn } from "../../bench/sides";
import type { Ellipse } from "../../bench/work";
import { onGlass, type Point, type Zoom } from "../../bench/zoom";
import { text } from "../../text";
import { Glass, Hold, useDraw } from "./glass";
import { GlassButtons } from "./on-picture";

/** One side on the glass, with the line that says how it is turned. */
export function SidesView({ sides }: { sides: SidesTurn }) {
  const face = sides.shown.value;
  const at = sides.pictureOf(face);
  // Before there is one of that side, the other one stays in sight.
  const shown = at ?? sides.pictureOf(sides.here.value);
  return shown && <Side key={shown.picture.name} sides={sides} face={at ? face : sides.here.value} />;
}

function Side({ sides, face }: { sides: SidesTurn; face: Face }) {
  const at = sides.pictureOf(face);
  const line = sides.lineOf(face);
  const draw = useDraw(at?.picture.bitmap ?? new Image());
  if (!at) return null;
  const { rim, zoom } = at;
  const held = (p: Point | null) => {
    sides.under.value = p;
    if (!p) sides.lines.rest();
  };
  return (
    <>
      <Glass
        zoom={zoom}
        label={text.sides.picture(text.sides.faces[face])}
        draw={draw}
        under={sides.under.value}
      >
        {rim && line && <Arrow zoom={zoom} rim={rim} line={line} face={face} />}
        {line &&
          ([0, 1] as const).map((n) => (
            <Hold
              key={n}
              zoom={zoom}
              at={line.points[n]}
              name={`line-${n}`}
              label={text.sides.end(text.sides.faces[face], text.sides.ends[line.along][n] ?? "")}
              onMove={(to) => sides.move(face, n, to)}
              onHeld={held}
            />
          ))}
      </Glass>
      <GlassButtons zoom={zoom} work={sides.lines} />
    </>
  );
}

/** How long the head of the arrow is, and half as wide, in pixels of the page. */
const head = 16;

/** The line as an arrow to where the coin's right or top is, dashed until it is laid. */
function Arrow({ zoom, rim, line, face }: { zoom: Zoom; rim: Ellipse; line: Level; face: Face }) {
  const view = zoom.view.value;
  const glass = zoom.glass.value;
  const middle = onGlass(view, glass, rim);
  const [from, to] = line.points.map((p) => onGlass(view, glass, p)) as [Point, Point];
  const long = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  const [x, y] = [((to.x - from.x) / long) * head, ((to.y - from.y) / long) * head];
  // Short of the handle, which would cover it.
  const tip = { x: to.x - x, y: to.y - y };
  const shapes = (
    <>
      <ellipse
        cx={middle.x}
        cy={middle.y}
        rx={rim.a * view.scale}
        ry={rim.b * view.scale}
        transform={`rotate(${-rim.turn} ${middle.x} ${middle.y})`}
      />
      <path
        data-chosen
        stroke-dasharray={line.laid ? undefined : "9 7"}
        d={`M${from.x} ${from.y}L${to.x} ${to.y}`}
      />
      <path
        data-chosen
        d={`M${tip.x - x - y / 2} ${tip.y - y + x / 2}L${tip.x} ${tip.y}L${tip.x - x + y / 2} ${tip.y - y - x / 2}`}
      />
    </>
  );
  return (
    <svg
      class="glass-lines"
      width={glass.width}
      height={glass.height}
      aria-hidden="true"
      focusable="false"
      data-part="side-line"
      data-of={face}
      data-laid={line.laid || undefined}
    >
      <g class="under">{shapes}</g>
      <g class="over">{shapes}</g>
    </svg>
  );
}
