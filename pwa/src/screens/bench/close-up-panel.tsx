import { useSignal } from "@preact/signals";
import { useEffect, useMemo, useRef } from "preact/hooks";
import type { Bench } from "../../bench/bench";
import type { CloseUp, Whole, Wholes } from "../../bench/close-up";
import { type Lens, Lenses, RulerPhoto, readLenses, scaleOf } from "../../bench/lens";
import { storedSignal } from "../../device/local-storage";
import { type OpenPhoto, opened, openPhoto } from "../../records/photos-open";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { CameraView } from "./camera-view";
import { ChoosePhoto } from "./choose-photo";
import { drawPicture } from "./glass";
import { NewLens } from "./ruler-photo";
import { wholeDegrees } from "./ruler-words";
import { pictureOf } from "./use-bench";

/** What a close-up is scaled by; each of the two ways with what it needs. */
export function CloseUpPanel(props: {
  bench: Bench;
  closeUp: CloseUp;
  /** The coin's own whole pictures, the likeliest first. */
  wholes: Wholes;
  /** It is known to be a close-up. */
  known: boolean;
  ruler: { value: RulerPhoto | null };
}) {
  const { bench, closeUp, ruler } = props;
  const finding = closeUp.finding.value;
  const { rim } = bench.work.now.value;
  const seeking = bench.seeking.value;
  const part = rim && rim.by !== "found" && rim.by !== "hand";
  const open = props.known || part || seeking.is === "refused" || ruler.value !== null;
  return (
    <details class="card fold" data-part="close-up" data-state={finding.is} data-by={rim?.by} open={open}>
      <summary>{text.closeUp.title}</summary>
      <div class="inside close-up">
        <p class="quiet small">{text.closeUp.hint}</p>
        <p role="status" data-part="scaled">
          {scaleWords(bench)}
        </p>
        <ByWhole {...props} />
        <ByLens {...props} />
      </div>
    </details>
  );
}

function scaleWords(bench: Bench): string {
  const { rim } = bench.work.now.value;
  const share = text.percent(2 * (rim?.u ?? 0));
  if (rim?.by === "ruler") return text.closeUp.byRuler(share);
  if (rim?.by !== "close-up") return text.closeUp.none;
  return bench.across === null ? text.closeUp.needsSize : text.closeUp.byWhole(share);
}

function ByWhole(props: { bench: Bench; closeUp: CloseUp; wholes: Wholes }) {
  const { bench, closeUp, wholes } = props;
  const finding = closeUp.finding.value;
  const count = useRef(0);
  const choose = async (file: File) => {
    const photo = await openPhoto(file).catch(() => null);
    if (!photo) return;
    const picture = pictureOf(`whole ${++count.current}`, photo);
    await closeUp.find([async () => ({ picture, rim: null })]);
  };
  return (
    <section>
      <h2>{text.closeUp.onWhole}</h2>
      {finding.is === "finding" ? (
        <>
          <p role="status">
            {text.closeUp.finding} {text.percent(finding.done)}
          </p>
          <button type="button" class="button" data-do="stop-close-up" onClick={() => closeUp.stop()}>
            {text.bench.stop}
          </button>
        </>
      ) : (
        <div class="row">
          {wholes.length > 0 && (
            <button
              type="button"
              class="button"
              data-do="find-close-up"
              onClick={() => void closeUp.find(wholes)}
            >
              {text.closeUp.find}
            </button>
          )}
          <ChoosePhoto words={text.closeUp.another} onFile={choose} />
        </div>
      )}
      {finding.is === "refused" && (
        <p class="problem" role="alert" data-part="close-up-refused" data-why={finding.why}>
          {text.closeUp.refusals[finding.why]}
        </p>
      )}
      {finding.is === "found" && bench.work.now.value.rim?.by === "close-up" && (
        <>
          <p role="status" data-part="close-up-found" data-degrees={finding.degrees.toFixed(2)}>
            {text.closeUp.found(wholeDegrees(finding.degrees))} {text.closeUp.lookAtIt}
          </p>
          <Outline found={finding} />
        </>
      )}
    </section>
  );
}

/** How wide the whole coin is drawn, in pixels of the page before the screen's own density. */
const wholeSide = 320;

/** The whole coin with the close-up's place on it. */
function Outline({
  found,
}: {
  found: { whole: Whole["picture"]; outline: readonly { x: number; y: number }[] };
}) {
  const { whole, outline } = found;
  const canvas = useRef<HTMLCanvasElement>(null);
  const k = wholeSide / Math.max(whole.width, whole.height);
  const [width, height] = [k * whole.width, k * whole.height];
  useEffect(() => {
    const el = canvas.current;
    const pen = el?.getContext("2d");
    if (!el || !pen) return;
    const dense = Math.min(3, devicePixelRatio || 1);
    [el.width, el.height] = [Math.round(width * dense), Math.round(height * dense)];
    pen.scale(dense, dense);
    const view = { x: whole.width / 2, y: whole.height / 2, scale: k };
    drawPicture(pen, whole.bitmap, view, { width, height });
  }, [whole, width, height, k]);
  useEffect(() => {
    canvas.current?.parentElement?.scrollIntoView({ block: "nearest" });
  }, [found]);
  const line = <polygon points={outline.map(({ x, y }) => `${k * x},${k * y}`).join(" ")} />;
  return (
    <div class="close-up-place" role="img" aria-label={text.closeUp.place} data-part="close-up-outline">
      <canvas ref={canvas} style={{ aspectRatio: `${width} / ${height}` }} />
      <svg class="glass-lines" viewBox={`0 0 ${width} ${height}`} aria-hidden="true" focusable="false">
        <g class="under">{line}</g>
        <g class="over">{line}</g>
      </svg>
    </div>
  );
}

function ByLens({ bench, ruler }: { bench: Bench; ruler: { value: RulerPhoto | null } }) {
  const app = useApp();
  const lenses = useMemo(
    () => new Lenses(storedSignal<readonly Lens[]>(app.storage, "panside.lenses", readLenses)),
    [app],
  );
  const otherShape = useSignal(false);
  const count = useRef(0);
  const use = (lens: Lens) => {
    const rim = scaleOf(lens, bench.picture);
    otherShape.value = rim === null;
    if (rim) bench.scaleBy(rim);
  };
  const photographed = (photo: OpenPhoto) => {
    ruler.value = new RulerPhoto(pictureOf(`ruler ${++count.current}`, photo));
  };
  const forgotten = lenses.forgotten.value;
  const photo = ruler.value;
  return (
    <section data-part="lenses" data-count={lenses.all.value.length}>
      <h2>{text.closeUp.byLens}</h2>
      <p class="quiet small">{text.closeUp.lensHint}</p>
      {photo ? (
        <NewLens
          ruler={photo}
          onLens={(lens) => {
            lenses.keep(lens);
            ruler.value = null;
            use(lens);
          }}
          onLeave={() => {
            ruler.value = null;
          }}
        />
      ) : (
        <>
          <ul class="plain lenses">
            {lenses.all.value.map((l) => (
              <li key={l.name}>
                <button type="button" class="chip-button" data-lens={l.name} onClick={() => use(l)}>
                  {text.closeUp.lens(l.name, l.mm.toPrecision(3))}
                </button>
                <button
                  type="button"
                  class="quiet-button"
                  data-do="forget-lens"
                  aria-label={text.closeUp.forget(l.name)}
                  onClick={() => lenses.forget(l)}
                >
                  <span aria-hidden="true">×</span>
                </button>
              </li>
            ))}
          </ul>
          {forgotten && (
            <p role="status">
              {text.closeUp.forgotten(forgotten.name)}{" "}
              <button
                type="button"
                class="quiet-button"
                data-do="put-lens-back"
                onClick={() => lenses.putBack()}
              >
                {text.closeUp.putBack}
              </button>
            </p>
          )}
          {otherShape.value && (
            <p class="problem" role="alert" data-part="other-shape">
              {text.closeUp.otherShape}
            </p>
          )}
          <details class="fold" data-part="new-lens">
            <summary>{text.closeUp.newLens}</summary>
            <div class="inside">
              <CameraView words={text.closeUp.take} onTaken={(bitmap) => photographed(opened(bitmap))} />
              <ChoosePhoto
                words={text.closeUp.choose}
                onFile={async (file) => {
                  const open = await openPhoto(file).catch(() => null);
                  if (open) photographed(open);
                }}
              />
            </div>
          </details>
        </>
      )}
    </section>
  );
}
