import { useSignal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { BenchBody } from "./body";
import { CameraView } from "./camera-view";
import { ChoosePhoto } from "./choose-photo";
import { dialPlace } from "./dial-page";
import { NotOpened } from "./not-opened";
import type { BookSize } from "./rim-panel";
import { useBench } from "./use-bench";
import { useBookSize } from "./use-book-size";

/** Any picture, without a find to keep something with. */
export function LooseBench() {
  const picture = useSignal<{ name: string; bytes: Blob | ImageBitmap } | null>(null);
  const count = useSignal(0);
  const put = (bytes: Blob | ImageBitmap) => {
    picture.value = { name: `loose ${++count.value}`, bytes };
  };
  const { name, bytes } = picture.value ?? { name: "", bytes: null };
  const app = useApp();
  const picked = app.denomination.value;
  const country = app.prefs.country.value;
  const book = useBookSize(picked ? { country, denomination: picked.id } : undefined);
  const { mm, unsure } = book.diameter ?? { mm: null, unsure: false };
  const size = useMemo<BookSize | null>(
    () => (book.asked ? { mm, coin: picked?.name ?? "", unsure } : null),
    [book.asked, mm, picked?.name, unsure],
  );
  const opening = useBench(name, bytes, () => undefined).value;
  return (
    <>
      {!bytes && <p>{text.bench.intro}</p>}
      <p class="quiet small">{text.bench.noFind}</p>
      {bytes ? (
        <button
          type="button"
          class="button"
          data-do="another-picture"
          onClick={() => {
            picture.value = null;
          }}
        >
          {text.bench.another}
        </button>
      ) : (
        <>
          <CameraView focus onTaken={put} />
          <ChoosePhoto words={text.bench.choose} onFile={put} />
          <p>
            <a class="lone-link" href={addressOf("second-look", dialPlace)} data-do="to-dial">
              {text.dial.link}
            </a>
          </p>
        </>
      )}
      {bytes && opening.is === "opening" && (
        <p class="quiet" role="status">
          {text.bench.loading}
        </p>
      )}
      {bytes && opening.is === "failed" && <NotOpened trouble={opening.trouble} />}
      {bytes && opening.is === "open" && (
        <BenchBody
          bench={opening.bench}
          size={size}
          coin={picked ? { country, denomination: picked.id } : undefined}
        />
      )}
    </>
  );
}
