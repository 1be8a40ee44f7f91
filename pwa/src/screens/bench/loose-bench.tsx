import { useSignal } from "@preact/signals";
import { opened } from "../../records/photos-open";
import { text } from "../../text";
import { TroubleWords } from "../weigh/trouble-words";
import { BenchBody } from "./body";
import { CameraView } from "./camera-view";
import { ChoosePhoto } from "./choose-photo";
import { useBench } from "./use-bench";

/** Any picture, without a find to keep something with. */
export function LooseBench() {
  const picture = useSignal<{ name: string; bytes: Blob | ImageBitmap } | null>(null);
  const count = useSignal(0);
  const put = (bytes: Blob | ImageBitmap) => {
    picture.value = { name: `loose ${++count.value}`, bytes };
  };
  const { name, bytes } = picture.value ?? { name: "", bytes: null };
  const opening = useBench(name, bytes, () => undefined, opened).value;
  return (
    <>
      <p>{text.bench.intro}</p>
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
          <CameraView onTaken={put} />
          <ChoosePhoto words={text.bench.choose} onFile={put} />
        </>
      )}
      {bytes && opening.is === "opening" && (
        <p class="quiet" role="status">
          {text.bench.loading}
        </p>
      )}
      {bytes && opening.is === "failed" && <TroubleWords trouble={opening.trouble} />}
      {bytes && opening.is === "open" && <BenchBody bench={opening.bench} size={null} />}
    </>
  );
}
