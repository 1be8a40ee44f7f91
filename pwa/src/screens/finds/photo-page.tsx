import { useSignal } from "@preact/signals";
import { type PhotoOf, photoSides } from "../../core/journal";
import { text } from "../../text";
import { Chips } from "../form/controls";
import { Held } from "./deleted";
import { photoWords } from "./photos";
import { placeWords, spotOf } from "./spot";
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

/** A coin's face to tap on; with keys, the arrows move the mark. */
function CoinSpot(props: {
  at: { x: number; y: number } | null;
  onSpot: (at: { x: number; y: number }) => void;
}) {
  const at = props.at ?? { x: 0.5, y: 0.5 };
  const move = (dx: number, dy: number) => props.onSpot(spotOf(at.x + dx, at.y + dy, 1, 1));
  const keys: Record<string, [number, number]> = {
    ArrowLeft: [-0.05, 0],
    ArrowRight: [0.05, 0],
    ArrowUp: [0, -0.05],
    ArrowDown: [0, 0.05],
  };
  return (
    <button
      type="button"
      class="coin-spot"
      aria-label={text.finds.placeHint}
      data-part="coin-spot"
      onClick={(e) => {
        if (e.detail === 0) return; // by a key; the arrows do that
        const box = e.currentTarget.getBoundingClientRect();
        props.onSpot(spotOf(e.clientX - box.left, e.clientY - box.top, box.width, box.height));
      }}
      onKeyDown={(e) => {
        const by = keys[e.key];
        if (!by) return;
        e.preventDefault();
        move(...by);
      }}
    >
      <svg viewBox="0 0 100 100" aria-hidden="true" focusable="false">
        <circle class="spot-rim" cx="50" cy="50" r="49" />
        <circle class="spot-field" cx="50" cy="50" r="43" />
        <path class="spot-lines" d="M50 10v6M50 84v6M10 50h6M84 50h6" />
        {props.at && <circle class="spot-mark" cx={at.x * 100} cy={at.y * 100} r="5" />}
      </svg>
    </button>
  );
}
