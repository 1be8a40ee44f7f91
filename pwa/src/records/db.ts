import Dexie, { type DexieOptions, type Table } from "dexie";

/** 0 or 1, because an index holds no booleans. */
export type Flag = 0 | 1;

/** An entry as it is kept: its text, what it is found by, and whether the laptop has it. */
export interface StoredEntry {
  /** The running number, in the order of storing. */
  n?: number;
  id: string;
  record: string;
  kind: string;
  field: string;
  raw: string;
  sent: Flag;
}

/** A photo's bytes. They are kept as a buffer with their type: some browsers lose stored blobs. */
export interface StoredPhoto {
  sha256: string;
  type: string;
  bytes: ArrayBuffer;
  /** The laptop has it and has read it back from its disk; of rows of earlier versions: has it. */
  sent: Flag;
  /** When that was, ms since 1970; 0 before. */
  sentAt: number;
  /** Why the laptop won't ever take it; empty if nothing is known against it. */
  refused: string;
}

/** A small picture for lists. It can be made again at any time. */
export interface Thumb {
  sha256: string;
  type: string;
  bytes: ArrayBuffer;
}

export interface SnapshotRow {
  key: "snapshot";
  /** A buffer goes to the core without being copied or converted. Missing in rows of earlier versions. */
  bytes?: ArrayBuffer;
  /** The running number of the last entry in it. */
  upto: number;
}

export interface SyncRow {
  key: "sync";
  receipt: string;
  cursor: string;
}

/** Counts how often stored entries were taken away, so that a second page starts anew. */
export interface RenewedRow {
  key: "renewed";
  times: number;
}

/** The record that says which phone this is. */
export interface PhoneRow {
  key: "phone";
  record: string;
}

export type KeptRow = SnapshotRow | SyncRow | RenewedRow | PhoneRow;

/** What this phone keeps: the entries, the photos, and what opens them faster. */
export class PhoneDb extends Dexie {
  declare entries: Table<StoredEntry, number>;
  declare photos: Table<StoredPhoto, string>;
  declare thumbs: Table<Thumb, string>;
  declare kept: Table<KeptRow, string>;

  constructor(name = "panside", options: DexieOptions = {}) {
    // “strict”: what was said to be saved is on the disk, not in a cache of the system.
    super(name, { chromeTransactionDurability: "strict", ...options });
    this.version(1).stores({
      entries: "++n, &id, record, sent, [sent+kind+record]",
      photos: "sha256, sent, sentAt, [sent+refused]",
      thumbs: "sha256",
      kept: "key",
    });
  }
}

/**
 * Why the phone's storage failed: full; lost, when its connection died and
 * didn't come back; newer, when another page has brought it to a newer version;
 * forbidden, when the browser gives none (some private windows); failed for
 * everything else.
 */
export type StoreTrouble = "full" | "lost" | "newer" | "forbidden" | "failed";
export const storeTroubles = ["full", "lost", "newer", "forbidden", "failed"] as const;

export class StoreFault extends Error {
  readonly trouble: StoreTrouble;
  constructor(trouble: StoreTrouble, cause: unknown) {
    super(`${trouble}: ${String(cause)}`);
    this.trouble = trouble;
  }
}

const names = (e: unknown, depth = 3): string[] => {
  const err = e as { name?: string; inner?: unknown; failures?: unknown[] } | null;
  if (!err?.name || depth === 0) return [];
  return [
    err.name,
    ...names(err.inner, depth - 1),
    ...(err.failures ?? []).flatMap((f) => names(f, depth - 1)),
  ];
};

export function troubleOf(cause: unknown): StoreTrouble {
  const is = (...wanted: string[]) => names(cause).some((n) => wanted.includes(n));
  if (is("QuotaExceededError")) return "full";
  if (is("VersionError", "VersionChangeError")) return "newer";
  if (is("MissingAPIError", "SecurityError", "InvalidAccessError")) return "forbidden";
  if (handleDied(cause)) return "lost";
  return "failed";
}

/** The connection died: the page slept too long, or the browser ended its storage process. */
function handleDied(cause: unknown): boolean {
  const died = ["DatabaseClosedError", "InvalidStateError", "UnknownError", "TimeoutError", "AbortError"];
  return names(cause).some((n) => died.includes(n));
}

/**
 * Does something with the database; if its connection died, opens it anew and
 * tries once more. act must be whole by itself: one transaction, or reading.
 */
export async function withDb<T>(db: PhoneDb, act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (cause) {
    if (troubleOf(cause) !== "lost") throw asFault(cause);
  }
  try {
    db.close({ disableAutoOpen: false });
    await db.open();
    return await act();
  } catch (cause) {
    throw asFault(cause);
  }
}

const asFault = (cause: unknown): StoreFault =>
  cause instanceof StoreFault ? cause : new StoreFault(troubleOf(cause), cause);
