import { useSignal } from "@preact/signals";
import type { Lens, RulerPhoto } from "../../bench/lens";
import { onGlass, type Point } from "../../bench/zoom";
import { plainNumber } from "../../core/plain-number";
import { text } from "../../text";
import { Entry } from "../form/controls";
import { Glass, Hold, useDraw } from "./glass";
import { GlassButtons } from "./on-picture";

/** A photographed ruler in the picture's place, with the two points that are put on its marks. */
export function RulerPhotoView({ ruler }: { ruler: RulerPhoto }) {
  const draw = useDraw(ruler.picture.bitmap);
  const points = ruler.work.now.value;
  const view = ruler.zoom.view.value;
  const glass = ruler.zoom.glass.value;
  const hold = (at: Point | null) => {
    ruler.under.value = at;
    if (!at) ruler.work.rest();
  };
  const [a, b] = points.map((p) => onGlass(view, glass, p)) as [Point, Point];
  const line = <path d={`M${a.x} ${a.y}L${b.x} ${b.y}`} />;
  return (
    <div class="bench-picture" data-part="ruler-photo">
      <Glass zoom={ruler.zoom} label={text.closeUp.picture} draw={draw} under={ruler.under.value}>
        <svg
          class="glass-lines"
          width={glass.width}
          height={glass.height}
          aria-hidden="true"
          focusable="false"
        >
          <g class="under">{line}</g>
          <g class="over">{line}</g>
        </svg>
        {points.map((p, n) => (
          <Hold
            key={n}
            zoom={ruler.zoom}
            at={p}
            name={`mark-${n}`}
            label={text.closeUp.point(n + 1)}
            onMove={(to) => ruler.move(n, to)}
            onHeld={hold}
          />
        ))}
      </Glass>
      <GlassButtons zoom={ruler.zoom} work={ruler.work} />
    </div>
  );
}

/** How far apart the points are, and the name that camera and zoom are remembered by. */
export function NewLens(props: { ruler: RulerPhoto; onLens(lens: Lens): void; onLeave(): void }) {
  const { ruler } = props;
  const apart = useSignal("");
  const name = useSignal("");
  const lens = ruler.lens(name.value, Number(plainNumber(apart.value) || "0"));
  return (
    <>
      <p>{text.closeUp.points}</p>
      <Entry
        name="apart"
        label={text.closeUp.apart}
        value={apart.value}
        onType={(typed) => {
          apart.value = typed;
        }}
      />
      <Entry
        name="lens"
        mode="text"
        label={text.closeUp.name}
        hint={text.closeUp.nameHint}
        most={60}
        value={name.value}
        onType={(typed) => {
          name.value = typed;
        }}
      />
      {!lens && <p class="quiet small">{text.closeUp.needs}</p>}
      <div class="row">
        <button
          type="button"
          class="button main"
          data-do="remember-lens"
          disabled={!lens}
          onClick={() => lens && props.onLens(lens)}
        >
          {text.closeUp.remember}
        </button>
        <button type="button" class="button" data-do="leave-ruler" onClick={props.onLeave}>
          {text.closeUp.cancel}
        </button>
      </div>
    </>
  );
}
