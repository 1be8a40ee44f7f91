import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { type Find, type PhotoSide, photoSides } from "../../core/journal";
import type { PendingEdits } from "../../records/pending-edits";
import { text } from "../../text";
import { addressOf } from "../../view/places";
import { CoinSpot } from "../finds/coin-spot";
import { nextSide } from "../finds/photo-order";
import { placeWords } from "../finds/spot";
import { useRecords } from "../finds/use";
import { Chips } from "../form/controls";
import { CameraView } from "./camera-view";

/** A JPEG of this quality loses nothing that is measured. */
const quality = 0.95;

/** Pictures from a camera straight into the find, each with its side and place. */
export function FindCamera({ find, edits }: { find: Find; edits: PendingEdits }) {
  const records = useRecords();
  const taken = useSignal<ImageBitmap | null>(null);
  const side = useSignal<PhotoSide>(nextSide(find.photos));
  const at = useSignal<{ x: number; y: number } | null>(null);
  const busy = useSignal(false);
  const keep = async () => {
    const picture = taken.peek();
    if (!picture) return;
    busy.value = true;
    const file = await encoded(picture, picture);
    const spot = at.peek();
    const place = spot ? { ...spot, where: placeWords(spot.x, spot.y) } : {};
    const photo = file && (await records.addPhoto(find, file, { side: side.peek(), ...place }, edits));
    busy.value = false;
    if (photo) location.hash = addressOf("second-look", `${find.record}/${photo.sha256}`);
  };
  const picture = taken.value;
  if (!picture) {
    return (
      <CameraView
        focus
        onTaken={(bitmap) => {
          taken.value = bitmap;
          side.value = nextSide(find.photos);
          at.value = null;
        }}
      />
    );
  }
  return (
    <section class="card frozen" data-part="frozen" aria-label={text.bench.camera.title}>
      <Still picture={picture} />
      <Chips
        name="side"
        label={text.bench.camera.shows}
        value={side.value}
        options={photoSides}
        words={text.finds.sides}
        oneRow
        onPick={(s) => {
          side.value = s ?? side.value;
        }}
      />
      {side.value === "detail" && (
        <>
          <p class="quiet small">{at.value ? placeWords(at.value.x, at.value.y) : text.finds.placeHint}</p>
          <CoinSpot
            at={at.value}
            onSpot={(spot) => {
              at.value = spot;
            }}
          />
        </>
      )}
      <div class="row">
        <button
          type="button"
          class="button main"
          data-do="keep-frozen"
          disabled={busy.value}
          onClick={() => void keep()}
        >
          {text.bench.camera.keep}
        </button>
        <button
          type="button"
          class="button"
          data-do="discard-frozen"
          disabled={busy.value}
          onClick={() => {
            picture.close();
            taken.value = null;
          }}
        >
          {text.bench.camera.discard}
        </button>
      </div>
    </section>
  );
}

/** The picture that was taken. */
function Still({ picture }: { picture: ImageBitmap }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const el = canvas.current;
    if (!el) return;
    [el.width, el.height] = [picture.width, picture.height];
    el.getContext("2d")?.drawImage(picture, 0, 0);
  }, [picture]);
  return <canvas ref={canvas} class="still" role="img" aria-label={text.bench.picture} />;
}

/** A picture as a file, to be kept. */
export async function encoded(
  picture: CanvasImageSource,
  { width, height }: { width: number; height: number },
): Promise<Blob | null> {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [width, height];
  canvas.getContext("2d")?.drawImage(picture, 0, 0);
  const file = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", quality));
  canvas.width = 0; // some phones give the memory back only so
  return file;
}
