import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { text } from "../../text";
import { useRecords } from "./use";

/** A photo in its full size, once it is wanted. */
export function useWhole(sha256: string, wanted: boolean) {
  const records = useRecords();
  const state = useSignal<{ address: string | null; failed: boolean }>({ address: null, failed: false });
  useEffect(() => {
    if (!wanted) return;
    let address: string | null = null;
    let gone = false;
    void records.shelf.whole(sha256).then((blob) => {
      if (gone) return;
      address = blob && URL.createObjectURL(blob);
      state.value = { address, failed: !blob };
    });
    return () => {
      gone = true;
      if (address) URL.revokeObjectURL(address);
    };
  }, [records, sha256, wanted, state]);
  return state.value;
}

/** Why a photo isn't shown. */
export function NotShown({ sha256 }: { sha256: string }) {
  const lost = useRecords().sync.wanted.value.some((w) => w.photo === sha256);
  return <p class="quiet">{lost ? text.wanted.page : text.finds.photoGone}</p>;
}
