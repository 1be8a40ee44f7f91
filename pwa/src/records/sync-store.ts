import type { SyncChange, SyncQuery, SyncReply } from "../core/sync";
import { type Flag, type KeptRow, type PhoneDb, type StoredEntry, withDb } from "./db";

/** What came of a step, and the text or bytes beside it. */
export interface Found {
  reply: SyncReply;
  more?: string | ArrayBuffer;
}

/** Looks into the store for what the core's sync asks. */
export async function look(
  db: PhoneDb,
  { id, read }: { id: string; read: SyncQuery },
  fullness?: () => Promise<number | null>,
): Promise<Found> {
  const found = (reply: Omit<SyncReply, "step">): Found => ({ reply: { step: id, ...reply } });
  const { photos = [] } = read;
  switch (read.what) {
    case "marks":
      return found(await withDb(db, () => marksOf(db)));
    case "entries": {
      const entries = await unsentEntries(db, read);
      const marks = await withDb(db, () => marksOf(db));
      const ids = entries.map((e) => e.id);
      return { ...found({ ...marks, ids }), more: entries.map((e) => e.raw).join("\n") };
    }
    case "unsent":
      return found({ photos: await withDb(db, () => sendable(db, 0)) });
    case "one": {
      const photo = await withDb(db, () => db.photos.get(photos[0] ?? ""));
      return found({ bytes: photo?.bytes.byteLength ?? 0, type: photo?.type ?? "" });
    }
    case "held": {
      const asked = new Set(photos);
      const of = async (flag: Flag) =>
        (await withDb(db, () => sendable(db, flag))).filter((p) => asked.has(p));
      return found({ photos: await of(1), waiting: await of(0) });
    }
    case "old": {
      const old = db.photos.where("sentAt").between(1, read.before ?? 0, true, true);
      return found({ photos: await withDb(db, () => old.primaryKeys()) });
    }
    case "room":
      return found({ used: (await fullness?.()) ?? 0 });
  }
}

/** By the index alone: reading the photos themselves would fill the memory. */
const sendable = (db: PhoneDb, sent: Flag): Promise<string[]> =>
  db.photos.where("[sent+refused]").equals([sent, ""]).primaryKeys();

async function unsentEntries(db: PhoneDb, { leave_out, limit, bytes }: SyncQuery): Promise<StoredEntry[]> {
  const leaveOut = new Set(leave_out);
  return withDb(db, async () => {
    const entries: StoredEntry[] = [];
    let length = 0;
    await db.entries
      .where("sent")
      .equals(0)
      .until(() => (!!limit && entries.length >= limit) || (!!bytes && length > bytes))
      .each((e) => {
        if (leaveOut.has(e.id)) return;
        length += e.raw.length;
        entries.push(e);
      });
    return entries;
  });
}

interface SyncMarks {
  receipt: string;
  cursor: string;
}

export async function marksOf(db: PhoneDb): Promise<SyncMarks> {
  const row = await db.kept.get("sync");
  return row?.key === "sync" ? { receipt: row.receipt, cursor: row.cursor } : { receipt: "", cursor: "" };
}

export async function renewedTimes(db: PhoneDb): Promise<number> {
  const row: KeptRow | undefined = await db.kept.get("renewed");
  return row?.key === "renewed" ? row.times : 0;
}

/** Does a change within a transaction; the running numbers of the entries that were added. */
export async function change(db: PhoneDb, c: SyncChange): Promise<number[]> {
  const flag: Flag = c.added ? 1 : 0;
  let marks = await marksOf(db);
  if (c.forget) {
    await db.entries.where("sent").equals(1).modify({ sent: 0 });
    await db.photos.where("sent").equals(1).modify({ sent: 0, sentAt: 0 });
    marks = { receipt: "", cursor: "" };
  }
  if (c.drop?.length) {
    await db.entries.where("id").anyOf(c.drop).delete();
    await db.kept.delete("snapshot");
    await db.kept.put({ key: "renewed", times: (await renewedTimes(db)) + 1 });
  }
  const rows = (c.add ?? []).map((e) => rowOf(e, flag));
  const keys = rows.length > 0 ? await db.entries.bulkAdd(rows, { allKeys: true }) : [];
  if (c.sent?.length) await db.entries.where("id").anyOf(c.sent).modify({ sent: 1 });
  await db.kept.put({ key: "sync", receipt: c.receipt ?? marks.receipt, cursor: c.cursor ?? marks.cursor });
  if (c.photos) await changePhotos(db, c.photos);
  return keys;
}

async function changePhotos(db: PhoneDb, c: NonNullable<SyncChange["photos"]>): Promise<void> {
  const those = (photos: string[] = []) => db.photos.where("sha256").anyOf(photos);
  if (c.unsent?.length) await those(c.unsent).modify({ sent: 0, sentAt: 0 });
  if (c.sent?.length) await those(c.sent).modify({ sent: 1, sentAt: c.at ?? 0 });
  if (c.refused) await db.photos.update(c.refused, { refused: c.why ?? "" });
  if (c.free?.length) await db.photos.bulkDelete(c.free);
}

export const rowOf = (e: Omit<StoredEntry, "n" | "sent">, sent: Flag): StoredEntry => ({
  id: e.id,
  record: e.record,
  kind: e.kind,
  field: e.field,
  raw: e.raw,
  sent,
});
