import type { Bench } from "../../bench/bench";
import type { Find } from "../../core/journal";
import type { PendingEdits } from "../../records/pending-edits";
import { useRecords } from "../finds/use";

/** A find's photo on the bench. */
export interface OnFind {
  find: Find;
  edits: PendingEdits;
  bench: Bench;
  photo: string;
  /** The finds of its type that hold a reference. */
  holders: readonly Find[];
}

export function useSave({ find, edits }: Pick<OnFind, "find" | "edits">) {
  const records = useRecords();
  return (set: Record<string, unknown>) =>
    edits.save(set, find.ids, (saw) =>
      records.acts.write("saved", { kind: "find", record: find.record, set, saw }),
    );
}
