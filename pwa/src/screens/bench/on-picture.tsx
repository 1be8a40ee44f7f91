import type { Bench } from "../../bench/bench";
import type { Undoable } from "../../bench/undo";
import type { Mark } from "../../bench/work";
import { onGlass, type Point, type Zoom, zoomStep } from "../../bench/zoom";
import { text } from "../../text";
import { Glass, Hold, useDraw } from "./glass";
import { nameOf, saysWords } from "./ruler-words";

/** What the hand holds on the picture: the rim's points, or those of the chosen ruler. */
type Holding = "rim" | "ruler";

/** The picture of a bench with its rim and rulers, and the buttons that need no tool. */
export function OnPicture({ bench, holding }: { bench: Bench; holding: Holding }) {
  const draw = useDraw(bench.picture.bitmap);
  const { rim, held, marks } = bench.work.now.value;
  const hold = (at: Point | null) => {
    bench.under.value = at;
    if (!at) bench.work.rest();
  };
  const chosen = marks.find((m) => m.id === bench.chosen.value);
  return (
    <div class="bench-picture">
      <Glass
        zoom={bench.zoom}
        label={text.bench.picture}
        draw={draw}
        under={bench.under.value}
        onTap={(at) => {
          const seeking = bench.seeking.peek();
          if (seeking.is === "refused" && seeking.why === "two") void bench.seek(at);
        }}
      >
        <Lines bench={bench} chosen={holding === "ruler" ? chosen : undefined} />
        {holding === "rim" &&
          rim &&
          held.map((p, n) => (
            <Hold
              key={n}
              zoom={bench.zoom}
              at={p}
              name={`rim-${n}`}
              label={text.bench.rim.handle(n + 1)}
              onMove={(to) => bench.moveHeld(n, to)}
              onHeld={hold}
            />
          ))}
        {holding === "ruler" &&
          chosen?.points.map((p, n) => (
            <Hold
              key={`${chosen.id} ${n}`}
              zoom={bench.zoom}
              at={p}
              name={`ruler-${n}`}
              label={text.bench.ruler.point(nameOf(marks, chosen), n + 1)}
              onMove={(to) => bench.movePoint(chosen.id, n, to)}
              onHeld={hold}
            />
          ))}
      </Glass>
      <GlassButtons zoom={bench.zoom} work={bench.work} />
    </div>
  );
}

export function GlassButtons(props: {
  zoom: Zoom;
  /** What is taken back. */
  work: Pick<Undoable<unknown>, "canUndo" | "canRedo" | "undo" | "redo">;
}) {
  const { zoom, work } = props;
  return (
    <div class="glass-buttons">
      <button
        type="button"
        class="quiet-button"
        data-do="smaller"
        onClick={() => zoom.zoom(1 / zoomStep ** 2)}
      >
        <span aria-hidden="true">−</span>
        <span class="unseen">{text.bench.smaller}</span>
      </button>
      <button type="button" class="quiet-button" data-do="larger" onClick={() => zoom.zoom(zoomStep ** 2)}>
        <span aria-hidden="true">+</span>
        <span class="unseen">{text.bench.larger}</span>
      </button>
      <button type="button" class="quiet-button" data-do="whole" onClick={() => zoom.whole()}>
        {text.bench.whole}
      </button>
      <span class="glass-space" />
      <button
        type="button"
        class="quiet-button"
        data-do="bench-undo"
        disabled={!work.canUndo.value}
        onClick={() => work.undo()}
      >
        {text.bench.undo}
      </button>
      <button
        type="button"
        class="quiet-button"
        data-do="bench-redo"
        disabled={!work.canRedo.value}
        onClick={() => work.redo()}
      >
        {text.bench.redo}
      </button>
    </div>
  );
}

/** The point beside which a ruler says what it says. */
const labelAt = { line: 0, step: 2, angle: 1, area: 0 } as const;

/** The rim and the rulers, each twice: light on dark, so that they are seen on any coin. */
function Lines({ bench, chosen }: { bench: Bench; chosen: Mark | undefined }) {
  const view = bench.zoom.view.value;
  const glass = bench.zoom.glass.value;
  const { rim, marks } = bench.work.now.value;
  const to = (p: Point) => onGlass(view, glass, p);
  const middle = rim && to(rim);
  const shapes = (
    <>
      {rim && middle && rim.by !== "ruler" && (
        <ellipse
          data-part="rim"
          cx={middle.x}
          cy={middle.y}
          rx={rim.a * view.scale}
          ry={rim.b * view.scale}
          transform={`rotate(${-rim.turn} ${middle.x} ${middle.y})`}
        />
      )}
      {marks.map((m) => (
        <path key={m.id} d={pathOf(m, to)} data-chosen={m.id === chosen?.id || undefined} />
      ))}
    </>
  );
  return (
    <svg class="glass-lines" width={glass.width} height={glass.height} aria-hidden="true" focusable="false">
      <g class="under">{shapes}</g>
      <g class="over">{shapes}</g>
      {marks.map((m) => {
        const says = bench.says.value.get(m.id);
        const at = to(m.points[labelAt[m.is]] ?? { x: 0, y: 0 });
        // Kept on the glass, which a ruler may leave on all sides.
        const x = Math.min(Math.max(at.x, 6), glass.width - 130);
        const y = Math.min(Math.max(at.y - 14, 18), glass.height - 8);
        return (
          says && (
            <text key={m.id} x={x} y={y}>
              {saysWords(says)}
            </text>
          )
        );
      })}
    </svg>
  );
}

function pathOf(m: Mark, to: (p: Point) => Point): string {
  const points = m.points.map(to);
  const line = (list: Point[]) =>
    list.map((p, i) => `${i ? "L" : "M"}${p.x.toFixed(1)} ${p.y.toFixed(1)}`).join("");
  if (m.is === "area") return `${line(points)}Z`;
  const [a, b, c] = points;
  if (m.is !== "step" || !a || !b || !c) return line(points);
  // From the point straight onto the line through the other two.
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const t = ((c.x - a.x) * dx + (c.y - a.y) * dy) / (dx * dx + dy * dy || 1);
  return `${line([a, b])}${line([c, { x: a.x + t * dx, y: a.y + t * dy }])}`;
}
