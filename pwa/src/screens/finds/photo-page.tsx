import { useSignal } from "@preact/signals";
import { type PhotoOf, photoSides } from "../../core/journal";
import { text } from "../../text";
import { I } from "../../view/icons";
import { addressOf } from "../../view/places";
import { Chips } from "../form/controls";
import { CoinSpot } from "./coin-spot";
import { Held } from "./deleted";
import { photoWords } from "./photos";
import { placeWords } from "./spot";
import { usePendingEdits, useRecord, useRecords } from "./use";
import { NotShown, useWhole } from "./whole-photo";

/** One photo whole, with what it shows and where on the coin. */
export function PhotoPage({ record, sha256 }: { record: string; sha256: string }) {
  const records = useRecords();
  const edits = usePendingEdits(record);
  const read = useRecord(record).value;
  const find = read.is === "read" ? edits.overFind(read.value) : undefined;
  const photo = find?.photos.find((p) => p.sha256 === sha256);
  const back = (
    <a class="back" href={`#/finds/${record}`}>
      {text.finds.photoBack}
    </a>
  );
  if (!find || !photo) return back;
  const save = (value: PhotoOf | null, what: "saved" | "deleted" = "saved") => {
    const set = { [`photo/${sha256}`]: value };
    return edits.save(set, find.ids, (saw) => records.acts.write(what, { kind: "find", record, set, saw }));
  };
  const spot = (at: { x: number; y: number } | null) => {
    const { x: _x, y: _y, where: _w, ...rest } = photo;
    void save(at ? { ...rest, ...at, where: placeWords(at.x, at.y) } : rest);
  };
  return (
    <article class="find" data-part="photo" data-photo={sha256}>
      {back}
      <WholePhoto sha256={sha256} words={photoWords(photo)} />
      <a class="button wide" href={addressOf("second-look", `${record}/${sha256}`)} data-do="second-look">
        <I name="second-look" /> {text.bench.open}
      </a>
      {photo.from && <Original sha256={photo.from} />}
      <Held record={find}>
        <Chips
          name="side"
          label={text.finds.side}
          value={photo.side}
          options={photoSides}
          words={text.finds.sides}
          oneRow
          onPick={(side) => {
            const { side: _, ...rest } = photo;
            void save(side ? { ...rest, side } : rest);
          }}
        />
        <section class="card" aria-label={text.finds.place}>
          <h2>{text.finds.place}</h2>
          <p class="quiet small">{photo.where || text.finds.placeHint}</p>
          <CoinSpot at={photo.where ? { x: photo.x ?? 0, y: photo.y ?? 0 } : null} onSpot={spot} />
          {photo.where && (
            <button type="button" class="button" onClick={() => spot(null)}>
              {text.finds.placeClear}
            </button>
          )}
        </section>
        <button
          type="button"
          class="button danger"
          data-do="remove-photo"
          onClick={() => {
            void save(null, "deleted").then((done) => {
              if (done) location.hash = `#/finds/${record}`;
            });
          }}
        >
          {text.finds.removePhoto}
        </button>
      </Held>
    </article>
  );
}

function WholePhoto({ sha256, words }: { sha256: string; words: string }) {
  const { address, failed } = useWhole(sha256, true);
  if (failed) return <NotShown sha256={sha256} />;
  return <div class="whole-photo">{address && <img src={address} alt={words} />}</div>;
}

function Original({ sha256 }: { sha256: string }) {
  const wanted = useSignal(false);
  const { address, failed } = useWhole(sha256, wanted.value);
  if (failed) return <NotShown sha256={sha256} />;
  if (address) {
    return (
      <div class="whole-photo">
        <img src={address} alt={text.finds.original} />
      </div>
    );
  }
  return (
    <button
      type="button"
      class="button"
      onClick={() => {
        wanted.value = true;
      }}
    >
      {text.finds.original}
    </button>
  );
}
