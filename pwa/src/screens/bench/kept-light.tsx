import { useSignal } from "@preact/signals";
import type { RecordsController } from "../../app/records";
import type { Picture } from "../../bench/bench";
import { type Face, faceOf, lampKept, litPhotos } from "../../bench/lit";
import { lampSides, type SideLight } from "../../bench/side-light";
import type { PhotoOf } from "../../core/journal";
import { openPhoto } from "../../records/photos-open";
import { text } from "../../text";
import { useRecords } from "../finds/use";
import { encoded } from "./find-camera";
import type { OnFind } from "./on-find";
import { MakeReference } from "./references";
import { pictureOf } from "./use-bench";

/** The pictures of kept photos; null if one can't be had. */
export async function openKept(
  records: RecordsController,
  photos: readonly PhotoOf[],
): Promise<Picture[] | null> {
  const pictures: Picture[] = [];
  for (const { sha256 } of photos) {
    const bytes = await records.shelf.whole(sha256);
    const photo = bytes && (await openPhoto(bytes).catch(() => null));
    if (!photo) return null;
    pictures.push(pictureOf(sha256, photo));
  }
  return pictures;
}

/** Lights a coin by the photos that its find keeps; false if one of them can't be had. */
export async function lightKept(
  records: RecordsController,
  light: SideLight,
  photos: readonly PhotoOf[],
): Promise<boolean> {
  const pictures = await openKept(records, photos);
  if (!pictures) return false;
  light.lead({ by: "lamp" });
  pictures.forEach((p, n) => void light.put(n, p));
  await light.make();
  return true;
}

/** Side light of a find's photo: kept with the find, and made a reference. */
export function KeptLight(props: OnFind & { light: SideLight; side: string | undefined }) {
  const face = faceOf(props.side);
  return (
    <>
      <KeepLight {...props} face={face} />
      {face && litPhotos(props.find.photos, face) && <MakeReference {...props} />}
    </>
  );
}

/** Keeps the photos of a coin lit from four sides with its find, as photos of that side, or takes them up again. */
function KeepLight(props: OnFind & { light: SideLight; face: Face | undefined }) {
  const { find, edits, light, face } = props;
  const records = useRecords();
  const busy = useSignal(false);
  const gone = useSignal(false);
  const kept = face && litPhotos(find.photos, face);
  const frames = light.frames.value;
  const whole = frames.every((f) => f !== null);
  if (!face) return whole ? <p class="quiet small">{text.keptLight.needsFace}</p> : null;
  if (kept && frames.every((f) => f === null)) {
    return (
      <>
        <button
          type="button"
          class="button wide"
          data-do="use-kept-light"
          disabled={busy.value}
          onClick={async () => {
            busy.value = true;
            gone.value = !(await lightKept(records, light, kept));
            busy.value = false;
          }}
        >
          {busy.value ? text.keptLight.loading : text.keptLight.use}
        </button>
        {gone.value && <p class="problem">{text.hints.notHad}</p>}
      </>
    );
  }
  if (!whole || light.making.value.is !== "made" || light.led.value.by !== "lamp") return null;
  if (kept?.every((p, n) => frames[n]?.name === p.sha256)) {
    return (
      <p class="quiet" data-part="light-kept">
        {text.keptLight.kept}
      </p>
    );
  }
  const keep = async () => {
    busy.value = true;
    const taken = Date.now();
    const files = [];
    for (const [n, frame] of frames.entries()) {
      const file = frame && (await encoded(frame.bitmap, frame));
      if (file) files.push({ file, spot: { side: face, lamp: lampKept(lampSides[n] ?? 0), taken } });
    }
    // Those of an earlier time give way, since a side has one shape; but not the one that is a reference.
    const earlier = Object.fromEntries(
      (kept ?? [])
        .filter((p) => p.sha256 !== find.references?.[face])
        .map((p) => [`photo/${p.sha256}`, null]),
    );
    const photos =
      files.length === lampSides.length && (await records.addPhotos(find, files, edits, earlier));
    if (photos) light.rename(photos.map((p) => p.sha256));
    busy.value = false;
  };
  return (
    <button
      type="button"
      class="button main wide"
      data-do="keep-light"
      disabled={busy.value}
      onClick={() => void keep()}
    >
      {busy.value ? text.keptLight.keeping : text.keptLight.keep}
    </button>
  );
}
