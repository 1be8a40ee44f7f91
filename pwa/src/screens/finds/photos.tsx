import { useSignal } from "@preact/signals";
import { type Find, type PhotoOf, type PhotoSide, photoSides } from "../../core/journal";
import type { PendingEdits } from "../../records/pending-edits";
import { text } from "../../text";
import { useView } from "../../view/context";
import { I } from "../../view/icons";
import { addressOf } from "../../view/places";
import { nextSide, sidesFirst } from "./photo-order";
import { Thumb } from "./row";
import { useRecords } from "./use";
import { NotShown, useWhole } from "./whole-photo";
import { wordFor } from "./words";

/** Which side it shows, and where the lamp stood if it is one of several. */
const sideOf = (p: PhotoOf): string => {
  const side = wordFor(text.finds.sides, p.side);
  const lamp = text.keptLight.lamps[p.lamp ?? 0];
  return lamp ? text.keptLight.photo(side, lamp) : side;
};

export const photoWords = (p: PhotoOf): string => {
  const side = sideOf(p);
  return side ? text.finds.photoOf(side) : text.finds.photoPlain;
};

/** A find's photos, the first of them large, and the camera. */
export function FindPhotos(props: { find: Find; edits: PendingEdits; editing: boolean }) {
  const { find, edits } = props;
  const records = useRecords();
  const { shared } = useView();
  const busy = useSignal(false);
  const wanted = useSignal<PhotoSide | null>(null);
  const side = wanted.value ?? nextSide(find.photos);
  /** Puts photos to the find, each to the side wanted next if none was picked; tells which were put. */
  const takeAll = async (files: readonly File[]): Promise<boolean[]> => {
    busy.value = true;
    const photos = [...find.photos];
    const put: boolean[] = [];
    for (const file of files) {
      const so = { ...find, photos }; // the same picture may come twice
      const photo = await records.addPhoto(so, file, { side: wanted.value ?? nextSide(photos) }, edits);
      if (photo) photos.push(photo);
      put.push(photo !== null);
    }
    busy.value = false;
    wanted.value = null;
    return put;
  };
  const take = async (input: HTMLInputElement) => {
    const files = [...(input.files ?? [])];
    input.value = "";
    await takeAll(files);
  };
  const takeShared = async () => {
    const waiting = await shared.list();
    const put = await takeAll(waiting.map((w) => w.file));
    await shared.drop(waiting.filter((_, i) => put[i]).map((w) => w.key));
  };
  const [first, ...others] = sidesFirst(find.photos);
  return (
    <section class="trophy-photos" aria-label={text.finds.photos} data-part="photos">
      {first ? (
        <LargePhoto key={first.sha256} record={find.record} photo={first} />
      ) : (
        <p class="no-photo quiet" data-part="no-photo">
          <I name="camera" />
          {text.finds.noPhoto}
        </p>
      )}
      {others.length > 0 && (
        <ul class="plain photo-grid">
          {others.map((p) => (
            <li key={p.sha256}>
              <a href={`#/finds/${find.record}/${p.sha256}`} data-photo-link={p.sha256}>
                <Thumb sha256={p.sha256} words={photoWords(p)} />
                <span class="small">{sideOf(p)}</span>
              </a>
            </li>
          ))}
        </ul>
      )}
      {props.editing && (
        <div class="choice-row one-row" role="group" aria-label={text.finds.side}>
          {photoSides.map((s) => (
            <button
              key={s}
              type="button"
              class="chip-button"
              aria-pressed={side === s}
              onClick={() => {
                wanted.value = s;
              }}
            >
              {text.finds.sides[s]}
            </button>
          ))}
        </div>
      )}
      <div class="photo-takes">
        <Take words={text.finds.camera} name="camera" camera busy={busy.value} onFiles={take} />
        <Take words={text.finds.file} name="file" busy={busy.value} onFiles={take} />
      </div>
      <a class="button wide photo-take" href={addressOf("second-look", find.record)} data-do="bench-camera">
        <I name="second-look" />
        <span>{text.bench.camera.forFind}</span>
      </a>
      {shared.waiting.value > 0 && (
        <button
          type="button"
          class="button wide"
          data-do="take-shared"
          disabled={busy.value}
          onClick={() => void takeShared()}
        >
          {text.finds.shared(shared.waiting.value)} {text.finds.sharedTake}
        </button>
      )}
      {busy.value && (
        <p class="quiet" role="status">
          {text.finds.photoBusy}
        </p>
      )}
    </section>
  );
}

/** Large from the start: the small picture fills the place until the whole one is there. */
function LargePhoto({ record, photo }: { record: string; photo: PhotoOf }) {
  const { address, failed } = useWhole(photo.sha256, true);
  return (
    <a class="large-photo" href={`#/finds/${record}/${photo.sha256}`} data-photo-link={photo.sha256}>
      {address ? (
        <span class="thumb" data-photo={photo.sha256} data-part="whole">
          <img src={address} alt={photoWords(photo)} />
        </span>
      ) : (
        <Thumb sha256={photo.sha256} words={photoWords(photo)} />
      )}
      {failed && <NotShown sha256={photo.sha256} />}
      <span class="small">{sideOf(photo)}</span>
    </a>
  );
}

function Take(props: {
  words: string;
  name: string;
  camera?: boolean;
  busy: boolean;
  onFiles: (input: HTMLInputElement) => void;
}) {
  return (
    <label class="button photo-take" data-busy={props.busy || undefined}>
      {props.camera && <I name="camera" />}
      <span>{props.words}</span>
      <input
        type="file"
        name={props.name}
        class="unseen"
        accept="image/jpeg,image/png,image/webp"
        {...(props.camera ? { capture: "environment" as const } : { multiple: true })}
        disabled={props.busy}
        onChange={(e) => props.onFiles(e.currentTarget)}
      />
    </label>
  );
}
