import "fake-indexeddb/auto";
import { afterEach, describe, expect, it, vi } from "vitest";
import type { RawEntry } from "../core/journal";
import { type Lock, lockOfOnePage } from "../device/lock";
import { PhoneDb, type StoredPhoto, StoreFault } from "./db";
import { Journal } from "./journal";
import { FakeNotebook, failing } from "./journal-fake";

let names = 0;
const open: PhoneDb[] = [];
afterEach(async () => {
  for (const db of open.splice(0)) db.close();
});

function phone(name = `phone-${++names}`, lock: Lock = lockOfOnePage()) {
  const db = new PhoneDb(name);
  open.push(db);
  const book = new FakeNotebook();
  const journal = new Journal({ db, core: book.core, lock, now: () => 1000 });
  return { name, db, book, journal, lock };
}

const note = (text: string) => ({ kind: "find" as const, record: "", set: { note: text } });
const photo = (sha256: string): StoredPhoto => ({
  sha256,
  type: "image/jpeg",
  bytes: new Uint8Array([1, 2, 3]).buffer,
  sent: 0,
  sentAt: 0,
  refused: "",
});

describe("Journal", () => {
  it("stores what the core writes, in order and unsent, and says what is only here", async () => {
    const { journal, db } = phone();
    await journal.start();
    const first = await journal.write(note("one"));
    await journal.write({ kind: "find", record: first.record, set: { fate: "keep" } });
    await journal.write({ kind: "hunt", record: "", set: { source: "jar" } }, [photo("a".repeat(64))]);
    const rows = await db.entries.toArray();
    expect(rows.map((r) => [r.n, r.field, r.sent])).toEqual([
      [1, "note", 0],
      [2, "fate", 0],
      [3, "source", 0],
    ]);
    expect(journal.onlyHere.value).toEqual({ finds: 1, hunts: 1, others: 0, photos: 1 });
  });

  it("opens from its snapshot and hands the core only what is newer", async () => {
    const one = phone();
    await one.journal.write(note("one"));
    await one.journal.snapshot(1);
    await one.journal.write(note("two"));
    const two = phone(one.name);
    await two.journal.start();
    expect([...two.book.entries.values()].map((raw) => JSON.parse(raw).value)).toEqual(["one", "two"]);
    expect(two.book.calls.filter((c) => c === "journal-add")).toHaveLength(1);
  });

  it("drops a snapshot that knows more than the store and opens from the entries", async () => {
    const one = phone();
    const written = await one.journal.write(note("one"));
    await one.journal.write(note("two"));
    await one.journal.snapshot(1);
    await one.db.entries
      .where("id")
      .equals(written.entries[0]?.id ?? "")
      .delete();
    const two = phone(one.name);
    await two.journal.start();
    expect([...two.book.entries.values()].map((raw) => JSON.parse(raw).value)).toEqual(["two"]);
    expect(await two.db.kept.get("snapshot")).toBeUndefined();
  });

  it("claims nothing saved when the storage is full, and goes on when there is room again", async () => {
    const { journal, db, book } = phone();
    await journal.write(note("one"));
    failing(db, "add", 1, "QuotaExceededError");
    db.close({ disableAutoOpen: false }); // the next use opens it with the fault in it
    await expect(journal.write(note("lost"), [photo("b".repeat(64))])).rejects.toMatchObject({
      trouble: "full",
    });
    expect(await db.photos.count()).toBe(0);
    await journal.write(note("two"));
    const stored = (await db.entries.toArray()).map((e) => JSON.parse(e.raw).value);
    expect(stored).toEqual(["one", "two"]);
    // The notebook is as the store is: what failed is not in it either.
    expect([...book.entries.values()].map((raw) => JSON.parse(raw).value)).toEqual(["one", "two"]);
  });

  it("keeps neither entry nor photo if one of the two can't be stored", async () => {
    const { journal, db } = phone();
    await journal.start();
    failing(db, "add", 2, "QuotaExceededError");
    db.close({ disableAutoOpen: false });
    await expect(journal.write(note("half"), [photo("c".repeat(64))])).rejects.toBeInstanceOf(StoreFault);
    expect([await db.entries.count(), await db.photos.count()]).toEqual([0, 0]);
  });

  it("opens a database whose connection died, and saves", async () => {
    const { journal, db } = phone();
    await journal.write(note("one"));
    failing(db, "add", 1, "InvalidStateError");
    db.close({ disableAutoOpen: false });
    await journal.write(note("two"));
    expect(await db.entries.count()).toBe(2);
    db.close(); // as another page with a newer version does, or the browser
    await journal.write(note("three"));
    expect(await db.entries.count()).toBe(3);
  });

  it("survives a failure at any request of an opening and a write", async () => {
    for (let nth = 1; nth <= 4; nth++) {
      for (const which of ["add", "put"] as const) {
        const { journal, db, book } = phone();
        const reached = failing(db, which, nth, "UnknownError");
        const said: string[] = [];
        for (const text of ["one", "two", "three"]) {
          await journal.write(note(text), [photo(text.padEnd(64, "0"))]).then(
            () => said.push(text),
            () => {},
          );
        }
        const stored = (await db.entries.toArray()).map((e) => JSON.parse(e.raw).value);
        expect(stored, `${which} ${nth} of ${reached()}`).toEqual(said);
        expect([...book.entries.keys()].sort()).toEqual((await db.entries.toArray()).map((e) => e.id).sort());
      }
    }
  });

  it("says saved once if the connection dies after all was stored", async () => {
    const { journal, db } = phone();
    await journal.start();
    const whole = db.transaction.bind(db) as (...args: unknown[]) => Promise<unknown>;
    let deaths = 1;
    db.transaction = (async (...args: unknown[]) => {
      const done = await whole(...args);
      if (deaths-- > 0) throw new DOMException("injected", "InvalidStateError");
      return done;
    }) as unknown as typeof db.transaction;
    await journal.write(note("one"), [photo("d".repeat(64))]);
    expect((await db.entries.toArray()).map((e) => JSON.parse(e.raw).value)).toEqual(["one"]);
    expect(await db.photos.count()).toBe(1);
  });

  it("claims nothing saved that another entry's id stands for", async () => {
    const { journal, db } = phone();
    const { entries } = await journal.write(note("one"));
    const next = (entries[0]?.id ?? "").replace(/1$/, "2");
    const other = { record: "r", kind: "find", field: "note", value: "other", id: next };
    await db.entries.add({ ...other, raw: JSON.stringify(other), sent: 0 });
    await expect(journal.write(note("lost"))).rejects.toBeInstanceOf(StoreFault);
    expect((await db.entries.toArray()).map((e) => JSON.parse(e.raw).value)).toEqual(["one", "other"]);
  });

  it("asks the browser to have every write on the disk before it is called done", async () => {
    const opened = vi.spyOn(IDBDatabase.prototype, "transaction");
    const { journal } = phone();
    await journal.write(note("one"), [photo("e".repeat(64))]);
    const writes = opened.mock.calls.filter(([, mode]) => mode === "readwrite");
    opened.mockRestore();
    expect(writes.length).toBeGreaterThan(0);
    for (const [, , options] of writes) expect(options).toMatchObject({ durability: "strict" });
  });

  it("begins anew on every page once entries were written again under other names", async () => {
    const lock = lockOfOnePage();
    const one = phone(undefined, lock);
    const two = phone(one.name, lock);
    const { entries } = await one.journal.write(note("a"));
    const forked = entries.map((e) => e.id);
    await two.journal.start();
    await one.journal.snapshot(1);
    const again = { ...(entries[0] as RawEntry), id: "again-1.1" };
    again.raw = JSON.stringify({ ...JSON.parse(again.raw), id: again.id });
    await one.journal.holding(() => one.journal.keep({ drop: forked, add: [again], reopen: true }));
    expect(await one.db.kept.get("snapshot")).toBeUndefined(); // which has the old names
    await two.journal.write(note("b"));
    for (const { book, journal } of [one, two]) {
      await journal.start();
      expect([...book.entries.keys()].filter((id) => forked.includes(id))).toEqual([]);
      expect(book.entries.size).toBe(2);
    }
  });

  it("lets two pages of one phone write without losing a word", async () => {
    const lock = lockOfOnePage();
    const one = phone(undefined, lock);
    const two = phone(one.name, lock);
    await Promise.all([
      one.journal.write(note("a")),
      two.journal.write(note("b")),
      one.journal.write(note("c")),
      two.journal.write(note("d")),
    ]);
    await Promise.all([one.journal.start(), two.journal.start()]);
    expect(await one.db.entries.count()).toBe(4);
    expect(one.book.entries.size).toBe(4);
    expect(two.book.entries.size).toBe(4);
  });

  it("never overwrites an entry that another page stored under the same id", async () => {
    const one = phone();
    await one.journal.start();
    await one.db.entries.add({ id: "x.1", record: "r", kind: "find", field: "note", raw: "{}", sent: 0 });
    await expect(
      one.db.entries.add({ id: "x.1", record: "r", kind: "find", field: "note", raw: "other", sent: 0 }),
    ).rejects.toThrow();
    expect((await one.db.entries.toArray()).map((e) => e.raw)).toEqual(["{}"]);
  });

  it("takes a write back with all entries of its record in hand", async () => {
    const { journal, db } = phone();
    const w = await journal.write(note("one"));
    await journal.undo(w.entries.map((e) => e.id));
    expect((await db.entries.toArray()).map((e) => e.field)).toEqual(["note", "deleted"]);
  });
});
