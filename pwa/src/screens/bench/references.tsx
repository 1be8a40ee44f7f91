import { useMemo } from "preact/hooks";
import { levelIn, rimOf } from "../../bench/keep";
import { faceOf, faces, isLit } from "../../bench/lit";
import { edgeOf } from "../../bench/work";
import type { CoinOf, Find } from "../../core/journal";
import { openPhoto } from "../../records/photos-open";
import { text } from "../../text";
import { sidesFirst } from "../finds/photo-order";
import { photoWords } from "../finds/photos";
import { useRead, useRecords } from "../finds/use";
import { type OnFind, useSave } from "./on-find";
import type { Candidate } from "./over-view";
import { pictureOf } from "./use-bench";

/** Whether two coins show one design, as far as the finds say: one denomination, and one issue where both name theirs. */
export const sameType = (a: CoinOf | undefined, b: CoinOf | undefined): boolean =>
  !!a &&
  !!b &&
  a.country === b.country &&
  a.denomination === b.denomination &&
  (!a.issue || !b.issue || a.issue === b.issue);

/** The finds of this one's type that hold a reference. */
export function useHolders(find: Find): Find[] {
  const denomination = find.coin?.denomination ?? "";
  const read = useRead(
    async (records) => {
      if (!denomination) return [];
      const wanted = { kind: "find", denomination, limit: 500 } as const;
      return (await records.journal.list<Find>(wanted)).records;
    },
    [denomination],
  ).value;
  const all = read.is === "read" ? read.value : [];
  return all.filter((f) => f.references && sameType(f.coin, find.coin));
}

/** What can be laid over a find's photo: the hunter's references of the type, and the find's other photos. */
export function useCandidates(find: Find, photo: string, holders: readonly Find[]): Candidate[] {
  const records = useRecords();
  const key = JSON.stringify([
    holders.map((h) => [h.record, h.references]),
    find.photos,
    find.rims,
    text.language,
  ]);
  return useMemo(() => {
    const load = (sha256: string, of: string) => async () => {
      const bytes = await records.shelf.whole(sha256);
      if (!bytes) return null;
      // A list's finds come without what is long.
      const holder = of === find.record ? find : (await records.journal.record(of)).find;
      return {
        picture: pictureOf(sha256, await openPhoto(bytes)),
        rim: edgeOf(rimOf(holder?.rims?.[sha256])),
        level: levelIn(holder?.measures, sha256),
      };
    };
    const references = holders.flatMap((h) =>
      faces.flatMap((side) => {
        const sha256 = h.references?.[side];
        return sha256 && sha256 !== photo
          ? [
              {
                id: sha256,
                reference: side,
                words: text.bench.over.reference(text.finds.sides[side]),
                whole: h.record === find.record,
                load: load(sha256, h.record),
              },
            ]
          : [];
      }),
    );
    const own = sidesFirst(find.photos)
      .filter((p) => p.sha256 !== photo && !references.some((r) => r.id === p.sha256))
      .map((p) => ({
        id: p.sha256,
        words: photoWords(p),
        lit: isLit(p),
        whole: faceOf(p.side) !== undefined,
        load: load(p.sha256, find.record),
      }));
    return [...references, ...own];
  }, [key, photo, records]);
}

/** Makes this photo the one that others of its type and side are held against; there is one of each. */
export function MakeReference(props: OnFind & { side: string | undefined }) {
  const { find, photo, holders } = props;
  const records = useRecords();
  const save = useSave(props);
  const side = faceOf(props.side);
  if (!side || !find.coin) return null;
  if (find.references?.[side] === photo) {
    return (
      <p class="quiet" data-part="is-reference">
        {text.bench.over.isReference}
      </p>
    );
  }
  const make = async () => {
    if (!(await save({ [`reference/${side}`]: photo }))) return;
    for (const h of holders) {
      if (h.record === find.record || !h.references?.[side]) continue;
      const set = { [`reference/${side}`]: null };
      await records.acts.write("saved", { kind: "find", record: h.record, set, saw: h.ids });
    }
  };
  return (
    <button type="button" class="button wide" data-do="make-reference" onClick={() => void make()}>
      {text.bench.over.makeReference}
    </button>
  );
}
