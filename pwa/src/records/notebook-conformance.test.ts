import "fake-indexeddb/auto";
import { beforeAll, describe, expect, it } from "vitest";
import { coreIsBuilt, realCore } from "../core/core-fixture";
import { lockOfOnePage } from "../device/lock";
import { PhoneDb } from "./db";
import { Journal, type JournalCore } from "./journal";
import { FakeNotebook } from "./journal-fake";

/**
 * What the store and the sync rely on in a notebook. Their tests use a stand-in,
 * so it has to answer all of this as the core does.
 */

let phones = 0;

describe.each([
  { name: "the stand-in", make: async () => new FakeNotebook().core, there: true },
  { name: "the core", make: realCore, there: coreIsBuilt },
])("a notebook: $name", ({ make, there }) => {
  let core: JournalCore;
  beforeAll(async () => {
    if (there) core = await make();
  }, 30_000);

  /** A phone's next start is a new Journal over the same store. */
  const start = (db: PhoneDb) =>
    new Journal({ db, core, lock: lockOfOnePage(), now: () => 1_700_000_000_000 });
  const phone = () => {
    const db = new PhoneDb(`conformance-${++phones}`);
    return { db, journal: start(db) };
  };
  const find = (set: Record<string, unknown>, record = "") => ({ kind: "find" as const, record, set });
  /** What a person wrote; what a phone says of itself is its own business. */
  const values = async (db: PhoneDb) =>
    (await db.entries.toArray())
      .filter((e) => e.kind !== "phone")
      .map((e) => [e.field, JSON.parse(e.raw).value]);
  const it_ = it.skipIf(!there);

  it_("names what it writes: a new record, and each entry by an id of its own", async () => {
    const { journal, db } = phone();
    const one = await journal.write(find({ note: "one", fate: "keep" }));
    const two = await journal.write(find({ note: "two" }));
    const again = await journal.write(find({ certainty: "guess" }, one.record));
    expect(one.record).toBeTruthy();
    expect(again.record).toBe(one.record);
    expect(two.record).not.toBe(one.record);
    const rows = await db.entries.toArray();
    expect(new Set(rows.map((r) => r.id)).size).toBe(rows.length);
    const mine = rows.filter((r) => r.record === one.record);
    expect(mine.map((r) => [r.kind, r.field]).sort()).toEqual([
      ["find", "certainty"],
      ["find", "fate"],
      ["find", "note"],
    ]);
    for (const r of rows) {
      expect(JSON.parse(r.raw)).toMatchObject({ id: r.id, record: r.record, kind: r.kind, field: r.field });
      expect(r.raw).not.toContain("\n"); // entries are handed over line by line
    }
  });

  it_("is as before when it is opened from its entries, or from a snapshot and newer entries", async () => {
    const { journal, db } = phone();
    const { record } = await journal.write(find({ note: "one" }));
    await journal.snapshot(1);
    expect(await db.kept.get("snapshot")).toBeDefined();
    await journal.write(find({ fate: "keep" }, record));
    const again = start(db);
    const { entries } = await again.write(find({ certainty: "guess" }, record));
    expect(await db.kept.get("snapshot")).toBeDefined();
    await db.kept.delete("snapshot");
    const third = start(db);
    await third.start();
    expect(third.unreadable.value).toBe(0);
    expect(await values(db)).toEqual([
      ["note", "one"],
      ["fate", "keep"],
      ["certainty", "guess"],
    ]);
    expect(entries.every((e) => e.id)).toBe(true);
  });

  it_("refuses a snapshot that knows more than the store", async () => {
    const { journal, db } = phone();
    const one = await journal.write(find({ note: "one" }));
    await journal.write(find({ note: "two" }));
    await journal.snapshot(1);
    await db.entries.where("record").equals(one.record).delete();
    await start(db).start();
    expect(await db.kept.get("snapshot")).toBeUndefined();
  });

  it_("takes back a new record by an entry of it", async () => {
    const { journal, db } = phone();
    const { record, entries } = await journal.write(find({ note: "one" }));
    const undone = await journal.undo(entries.filter((e) => e.kind === "find").map((e) => e.id));
    expect(undone.record).toBe(record);
    expect(undone.entries.length).toBeGreaterThan(0);
    expect(undone.entries.every((e) => e.record === record)).toBe(true);
    expect((await db.entries.where("record").equals(record).toArray()).length).toBe(
      entries.filter((e) => e.kind === "find").length + undone.entries.length,
    );
  });

  it_("answers an unknown method with a fault, not by failing", async () => {
    const answer = await core("journal-nothing" as never, "{}");
    expect(answer).toMatchObject({ error: { code: expect.any(String) } });
  });
});
