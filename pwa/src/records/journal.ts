import { type Signal, signal } from "@preact/signals";
import { type Heard, noCoreHere } from "../core/client";
import type { Counts, Detail, Hunts, Listed, RawEntry, ToDecide, Written } from "../core/journal";
import type { SyncChange } from "../core/sync";
import type { CoreFault, JournalMethod, SyncMethod } from "../core/types";
import type { Lock } from "../device/lock";
import { type PhoneDb, type StoredEntry, type StoredPhoto, withDb } from "./db";
import { countOnlyHere, nothingOnlyHere, type OnlyHere } from "./only-here";
import { change, renewedTimes, rowOf } from "./sync-store";

/** The phone's own core, which alone knows what entries mean. */
export type JournalCore = (method: JournalMethod, input: string, bytes?: ArrayBuffer) => Promise<Heard>;

/** The core refused, with its sentence and perhaps the field it is about. */
export class CoreRefusal extends Error {
  readonly fault: CoreFault;
  constructor(fault: CoreFault) {
    super(fault.code);
    this.fault = fault;
  }
}

export interface Change {
  kind: "find" | "hunt";
  /** Empty for a new one. */
  record: string;
  set: Record<string, unknown>;
  /** The ids of the record as it was on the screen. */
  saw?: Record<string, string[]>;
}

export interface Wanted {
  kind: "find" | "hunt";
  hunt?: string;
  find_kind?: string;
  fate?: string;
  denomination?: string;
  deleted?: boolean;
  after?: string;
  limit?: number;
}

export interface JournalOptions {
  db: PhoneDb;
  core: JournalCore;
  lock: Lock;
  now(): number;
  /** What the laptop calls this phone; empty before it has joined one. */
  name?(): string;
  /** Told after each change of what is stored here, to tell the phone's other pages. */
  onStored?(): void;
}

/** The version of what this page and its core say to one another; PhoneProtocol in internal/bridge. */
export const phoneProtocol = 2;

/** Entries handed to the core in one call. */
const addAtOnce = 2000;
/** New entries after which the core's state is written down, so that the next start is quick. */
const snapshotAfter = 1000;

/**
 * The notebook in the core and what it is stored in, kept together: whatever
 * the core writes is stored before it is asked again, and if storing fails the
 * notebook is opened anew from the store, so that neither is ahead of the other.
 */
export class Journal {
  /** Rises with every change of what is stored, here or on another page. */
  readonly changed: Signal<number> = signal(0);
  readonly onlyHere: Signal<OnlyHere> = signal(nothingOnlyHere);
  /** The records with something that the laptop doesn't have. */
  readonly unsentRecords: Signal<ReadonlySet<string>> = signal(new Set());
  /** Stored entries that nobody can read any more. */
  readonly unreadable: Signal<number> = signal(0);
  readonly db: PhoneDb;

  private o: JournalOptions;
  private opened = false;
  private seen = 0; // running number of the last entry that the core has
  private renewed = 0;
  private sinceSnapshot = 0;
  private keptTimes = 0; // changes of the sync

  constructor(options: JournalOptions) {
    this.o = options;
    this.db = options.db;
  }

  /** Makes ready: opens the store and the notebook, and counts. */
  async start(): Promise<void> {
    await this.run(async () => {});
    await this.recount();
  }

  /** Another page stored something. */
  async heard(): Promise<void> {
    this.changed.value++;
    await this.recount();
  }

  // Writing.

  /** Writes fields of a record; photos are stored with them or not at all. */
  async write(change: Change, photos: StoredPhoto[] = []): Promise<Written> {
    return this.writing(async () => {
      const own = change.record ? await this.entriesOf(change.record) : [];
      return this.ask<Written>("journal-write", { ...change, ...(await this.signed()) }, own);
    }, photos);
  }

  async count(hunt: string, counts: Partial<Counts>): Promise<Written> {
    return this.writing(async () =>
      this.ask<Written>("journal-count", { hunt, ...counts, ...(await this.signed()) }),
    );
  }

  async pause(hunt: string, begin: boolean): Promise<Written> {
    return this.writing(async () =>
      this.ask<Written>("journal-pause", { hunt, begin, ...(await this.signed()) }),
    );
  }

  /** Takes back what one write answered with. */
  async undo(ids: string[]): Promise<Written> {
    return this.writing(async () => {
      const own = await withDb(this.db, async () => {
        const those = await this.db.entries.where("id").anyOf(ids).toArray();
        const records = [...new Set(those.map((e) => e.record))];
        return this.db.entries.where("record").anyOf(records).toArray();
      });
      return this.ask<Written>("journal-undo", { entries: ids, ...(await this.signed()) }, own);
    });
  }

  /** When something is written and on which phone, so that another one can say who it was. */
  private async signed() {
    return { now: this.o.now(), by: { phone: await this.phone(), name: this.o.name?.() ?? "" } };
  }

  private async phone(): Promise<string> {
    const row = await withDb(this.db, () => this.db.kept.get("phone"));
    return row?.key === "phone" ? row.record : "";
  }

  private async writing(act: () => Promise<Written>, photos: StoredPhoto[] = []): Promise<Written> {
    const written = await this.run(async () => {
      const w = await act();
      await this.store(w.entries, photos);
      return w;
    });
    await this.told();
    return written;
  }

  // Reading.

  async list<T>(wanted: Wanted): Promise<Listed<T>> {
    return this.run(() => this.ask<Listed<T>>("journal-list", wanted));
  }

  async record(record: string): Promise<Detail> {
    return this.run(async () => {
      const own = await this.entriesOf(record);
      return this.ask<Detail>("journal-record", { record, now: this.o.now() }, own);
    });
  }

  async hunts(): Promise<Hunts> {
    return this.run(() => this.ask("journal-hunts", { now: this.o.now() }));
  }

  /** What was written on phones that hadn’t seen one another, and a person has to decide about. */
  async conflicts(): Promise<ToDecide[]> {
    const c = await this.run(() => this.ask<{ records: ToDecide[] }>("journal-conflicts", {}));
    return c.records;
  }

  /** A photo that is kept on this phone. */
  async photo(sha256: string): Promise<StoredPhoto | undefined> {
    return withDb(this.db, () => this.db.photos.get(sha256));
  }

  // With the laptop. What is stored when is the core's sync's to say; it is stored here.

  /** Calls the core's sync, with what goes beside the question. */
  async sync(
    method: SyncMethod,
    header: unknown,
    more?: string | ArrayBuffer,
  ): Promise<{ ok: unknown; bytes?: ArrayBuffer }> {
    return typeof more === "string" || more === undefined
      ? this.question(method, header, more)
      : this.question(method, header, "", more);
  }

  /**
   * Does something while nothing else is written here, with the notebook as the
   * store is; what it keeps is told of afterwards.
   */
  async holding<T>(act: () => Promise<T>): Promise<T> {
    const before = this.keptTimes;
    try {
      return await this.run(act);
    } finally {
      if (this.keptTimes !== before) await this.told();
    }
  }

  /** Within holding: does a change that the core's sync wants, as a whole. */
  async keep(c: SyncChange): Promise<void> {
    this.keptTimes++;
    if (c.reopen) this.opened = false;
    await this.atomically(async () => this.handed(await change(this.db, c)));
  }

  /** Writes the core's state down if that is worth it now. */
  async snapshot(least = snapshotAfter): Promise<void> {
    if (this.sinceSnapshot < least) return;
    await this.run(async () => {
      const { bytes } = await this.o.core("journal-snapshot", "{}");
      if (!bytes) return;
      // Without it the next start takes longer, and that is all.
      await this.db.kept.put({ key: "snapshot", bytes, upto: this.seen }).catch(() => {});
      this.sinceSnapshot = 0;
    });
  }

  // How it is kept together.

  private run<T>(act: () => Promise<T>): Promise<T> {
    return this.o.lock(async () => {
      const renewed = await withDb(this.db, () => renewedTimes(this.db));
      if (!this.opened || renewed !== this.renewed) {
        this.renewed = renewed;
        await this.open();
      } else await this.catchUp();
      return act();
    });
  }

  private async open(): Promise<void> {
    this.opened = false;
    const snapshot = await withDb(this.db, () => this.db.kept.get("snapshot"));
    if (snapshot?.key === "snapshot") {
      if (snapshot.bytes && (await this.openFrom(snapshot.upto, snapshot.bytes))) return;
      await withDb(this.db, () => this.db.kept.delete("snapshot"));
    }
    await this.openFrom(0);
  }

  /** False if the snapshot is of no use. */
  private async openFrom(upto: number, snapshot?: ArrayBuffer): Promise<boolean> {
    const total = await withDb(this.db, () => this.db.entries.count());
    const head = { entries: total, phone: await this.phone() };
    const o = await this.ask<{ v: number; rebuild: boolean }>("journal-open", head, "", snapshot);
    if (o.v !== phoneProtocol) throw new CoreRefusal({ code: "wire-version", sentence: "" });
    if (o.rebuild && snapshot) return false;
    const { complete, unreadable } = await this.addFrom(upto, total);
    if (!complete && snapshot) return false;
    this.unreadable.value = unreadable;
    this.opened = true;
    return true;
  }

  private async catchUp(): Promise<void> {
    const newer = await withDb(this.db, () => this.db.entries.where("n").above(this.seen).count());
    if (newer === 0) return;
    const total = await withDb(this.db, () => this.db.entries.count());
    const { unreadable } = await this.addFrom(this.seen, total);
    this.unreadable.value += unreadable;
  }

  /** Hands the core all entries behind a running number. */
  private async addFrom(from: number, total: number): Promise<{ complete: boolean; unreadable: number }> {
    this.seen = from;
    let unreadable = 0;
    for (;;) {
      const some = await withDb(this.db, () =>
        this.db.entries.where("n").above(this.seen).limit(addAtOnce).toArray(),
      );
      const a = await this.ask<{ complete: boolean; unreadable: number[] }>("journal-add", { total }, some);
      unreadable += a.unreadable.length;
      this.sinceSnapshot += some.length;
      this.seen = some.at(-1)?.n ?? this.seen;
      if (some.length < addAtOnce) return { complete: a.complete, unreadable };
    }
  }

  private async store(entries: RawEntry[], photos: StoredPhoto[]): Promise<void> {
    await this.atomically(async () => {
      for (const p of photos) {
        if ((await this.db.photos.where("sha256").equals(p.sha256).count()) === 0)
          await this.db.photos.add(p);
      }
      const there = await this.db.entries
        .where("id")
        .anyOf(entries.map((e) => e.id))
        .toArray();
      const same =
        entries.length > 0 &&
        there.length === entries.length &&
        there.every((t) => entries.some((e) => e.id === t.id && e.raw === t.raw));
      // The connection may have died after all was stored: then nothing is to be done again.
      const keys = same
        ? there.map((t) => t.n ?? 0)
        : await this.db.entries.bulkAdd(
            entries.map((e) => rowOf(e, 0)),
            { allKeys: true },
          );
      this.handed(keys);
      const ownPhone = entries.find((e) => e.kind === "phone");
      if (ownPhone) await this.db.kept.put({ key: "phone", record: ownPhone.record });
    });
  }

  private handed(keys: number[]): void {
    this.sinceSnapshot += keys.length;
    this.seen = Math.max(this.seen, ...keys);
  }

  /** One transaction over everything; if it fails, the notebook is opened anew before it is next used. */
  private async atomically(act: () => Promise<void>): Promise<void> {
    const { entries, photos, kept } = this.db;
    try {
      await withDb(this.db, () => this.db.transaction("rw", [entries, photos, kept], act));
    } catch (cause) {
      this.opened = false;
      throw cause;
    }
  }

  private entriesOf(record: string): Promise<StoredEntry[]> {
    return withDb(this.db, () => this.db.entries.where("record").equals(record).toArray());
  }

  private async told(): Promise<void> {
    this.changed.value++;
    this.o.onStored?.();
    await this.recount();
    void this.snapshot().catch(() => {});
  }

  /** Counts what is on this phone and nowhere else. */
  async recount(): Promise<void> {
    const { counted, unsent } = await countOnlyHere(this.db);
    this.unsentRecords.value = unsent;
    this.onlyHere.value = counted;
  }

  private async ask<T>(
    method: JournalMethod,
    header: unknown,
    more: string | { raw: string }[] = "",
    bytes?: ArrayBuffer,
  ): Promise<T> {
    const text = typeof more === "string" ? more : more.map((e) => e.raw).join("\n");
    return (await this.question(method, header, text, bytes)).ok as T;
  }

  private async question(method: JournalMethod, header: unknown, text = "", bytes?: ArrayBuffer) {
    const head = JSON.stringify(header);
    const answer = await this.o.core(method, text ? `${head}\n${text}` : head, bytes);
    if ("error" in answer) {
      if (answer.error.code === noCoreHere) this.opened = false;
      throw new CoreRefusal(answer.error);
    }
    return answer;
  }
}
