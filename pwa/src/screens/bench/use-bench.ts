import { type Signal, useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { Bench, type Picture } from "../../bench/bench";
import type { Work } from "../../bench/work";
import { type OpenPhoto, opened, openPhoto } from "../../records/photos-open";
import { type Trouble, troubleOf } from "../../records/trouble";
import { usePictures } from "./page";

/** What there is of a picture that is being opened. */
export type Opening = { is: "opening" } | { is: "failed"; trouble: Trouble } | { is: "open"; bench: Bench };

/** A decoded photo as the bench takes it. */
export const pictureOf = (name: string, photo: OpenPhoto): Picture => ({
  name,
  width: photo.width,
  height: photo.height,
  bitmap: photo.bitmap,
  source: { pixels: photo.pixels },
});

/**
 * Puts a picture on the bench once there is one, and takes it away with the page. Where nothing
 * was done on it before, the rim is looked for at once, but not in what is known to be a close-up.
 */
export function useBench(
  name: string,
  bytes: Blob | ImageBitmap | null,
  first: () => Work | undefined,
  seek = true,
): Signal<Opening> {
  const pictures = usePictures();
  const state = useSignal<Opening>({ is: "opening" });
  useEffect(() => {
    if (!bytes) return;
    let gone = false;
    let bench: Bench | null = null;
    const photo = bytes instanceof Blob ? openPhoto(bytes) : Promise.resolve(opened(bytes));
    photo.then(
      (open) => {
        if (gone) return;
        const work = first();
        bench = new Bench(pictureOf(name, open), pictures, work);
        state.value = { is: "open", bench };
        if (seek && !work?.rim) void bench.seek();
      },
      (cause) => {
        if (!gone) state.value = { is: "failed", trouble: troubleOf(cause) };
      },
    );
    return () => {
      gone = true;
      bench?.end();
      state.value = { is: "opening" };
    };
  }, [name, bytes, pictures]);
  return state;
}
