import "fake-indexeddb/auto";
import { beforeAll, describe, expect, it } from "vitest";
import { coreIsBuilt, realCore } from "../core/core-fixture";
import type { Find, Hunt, RawEntry } from "../core/journal";
import type { JournalMethod } from "../core/types";
import { lockOfOnePage } from "../device/lock";
import { PhoneDb } from "./db";
import { Journal, type JournalCore, phoneProtocol } from "./journal";
import { FakeNotebook } from "./journal-fake";

/** What the methods below answer, each some of it. */
interface HeardOf {
  record: string;
  entries: RawEntry[];
  bytes: number;
  kept: ArrayBuffer;
}

/** What the store takes for granted of a notebook; the one for tests is held to it like the real one. */
const notebooks: [string, () => Promise<JournalCore>][] = [
  ["the stand-in", async () => new FakeNotebook().core],
  ["the built core", realCore],
];

describe.each(notebooks)("a notebook: %s", (name, make) => {
  const there = name === "the stand-in" || coreIsBuilt;
  it.skipIf(!there)(
    "is opened, written to and opened again as the store expects",
    { timeout: 30_000 },
    async () => {
      const core = await make();
      const ask = async (
        method: JournalMethod,
        head: unknown,
        rows: RawEntry[] = [],
        bytes?: ArrayBuffer,
      ): Promise<HeardOf> => {
        const more = rows.map((r) => `\n${r.raw}`).join("");
        const answer = await core(method, JSON.stringify(head) + more, bytes);
        if ("error" in answer) throw new Error(answer.error.code);
        return { ...(answer.ok as HeardOf), ...(answer.bytes && { kept: answer.bytes }) };
      };
      expect(await ask("journal-open", { entries: 0 })).toMatchObject({ v: phoneProtocol, rebuild: false });
      const one = await ask("journal-write", { now: 1, kind: "find", record: "", set: { note: "one" } });
      const [first] = one.entries as RawEntry[];
      expect(first).toMatchObject({ record: one.record, kind: "find", field: "note" });
      expect(JSON.parse(first?.raw ?? "")).toMatchObject({ id: first?.id, value: "one" });
      const two = await ask("journal-write", {
        now: 2,
        kind: "find",
        record: "",
        set: { note: "two", kind: "cud" },
      });
      const rows: RawEntry[] = [...one.entries, ...two.entries];
      expect(new Set(rows.map((r) => r.id)).size).toBe(3);
      expect(two.record).not.toBe(one.record);

      // A snapshot opens it, unless the store has fewer entries; what is missing is said.
      const { kept: bytes } = await ask("journal-snapshot", {});
      expect(bytes).toBeInstanceOf(ArrayBuffer);
      expect(await ask("journal-open", { entries: 3 }, [], bytes.slice(0))).toMatchObject({
        entries: 3,
        rebuild: false,
      });
      expect(await ask("journal-open", { entries: 2 }, [], bytes.slice(0))).toMatchObject({ rebuild: true });
      await ask("journal-open", { entries: 3 });
      expect(await ask("journal-add", { total: 3 }, rows.slice(0, 2))).toMatchObject({ complete: false });
      expect(await ask("journal-add", { total: 3 }, rows.slice(2))).toMatchObject({
        complete: true,
        unreadable: [],
      });

      // The next run writes under a name of its own, and takes back what another wrote.
      const undone = await ask("journal-undo", { now: 3, entries: [first?.id] }, one.entries);
      expect(undone).toMatchObject({ record: one.record, entries: [{ field: "deleted" }] });
      expect(undone.entries[0]?.id.split(".")[0]).not.toBe(first?.id.split(".")[0]);

      const part = async (how: object) => (await ask("sync-part", { most: 1 << 21, ...how })).bytes;
      expect(await part({ bytes: 0 })).toBe(64 << 10);
      expect(await part({ bytes: 64 << 10, went: 64 << 10, ms: 1 })).toBe(128 << 10);
      expect(await part({ bytes: 64 << 10, failed: true })).toBe(32 << 10);
    },
  );
});

describe.skipIf(!coreIsBuilt)("Journal over the built core", () => {
  let core: JournalCore;
  beforeAll(async () => {
    core = await realCore();
  }, 30_000);

  // One core has one notebook, so a phone's next start is a new Journal over it.
  const start = (name: string) => {
    let now = 1_700_000_000_000;
    return new Journal({ db: new PhoneDb(name), core, lock: lockOfOnePage(), now: () => now++ });
  };
  const sum = "ab".repeat(32);

  it("keeps a find with all that belongs to it, over a start, an undo and a deletion", async () => {
    let j = start("core-1");
    const hunt = await j.write({
      kind: "hunt",
      record: "",
      set: { source: "jar", begun: 1_700_000_000_000 },
    });
    const { record } = await j.write({
      kind: "find",
      record: "",
      set: {
        hunt: hunt.record,
        found: 1_700_000_000_000,
        coin: { country: "US", denomination: "cent", year: 1969, mint: "S" },
        weight: { value: "3.11", unit: "g", mean_g: 3.11, u_g: 0.005, resolution_g: 0.01, status: "stable" },
        trace: { unit: "g", from: 5, after: [0, 90], shown: ["3.0", "3.11"], status: ["moving", "stable"] },
        verdict: { call: "ordinary", headline: "Bronze cent.", alloys: [] },
      },
    });
    await j.snapshot(1);
    j = start("core-1");
    let d = await j.record(record);
    const find = d.find as Find;
    expect(find.trace?.shown).toEqual(["3.0", "3.11"]);
    expect(find.verdict?.headline).toBe("Bronze cent.");
    const photo = { sha256: sum, type: "image/jpeg", bytes: 3, side: "obverse", x: 0.5, y: 0.1, where: "12" };
    await j.write({ kind: "find", record, set: { [`photo/${sum}`]: photo }, saw: find.ids });
    const fate = await j.write({
      kind: "find",
      record,
      set: { kind: "counterfeit", fate: "spend" },
      saw: find.ids,
    });
    d = await j.record(record);
    expect(d.find?.photos).toEqual([photo]);
    expect(d.find?.caution).toContain("counterfeit");
    await j.undo(fate.entries.map((e) => e.id));
    expect((await j.record(record)).find?.fate).toBeUndefined();
    d = await j.record(record);
    const gist = { call: "look", metal: "bronze", seen: ["Small date"] };
    const evidence = { "us-cent-1982-date": "small" };
    await j.write({ kind: "find", record, set: { gist, evidence }, saw: d.find?.ids ?? {} });
    expect((await j.list<Find>({ kind: "find" })).records[0]).toMatchObject({ gist, evidence });
    d = await j.record(record);
    await j.write({ kind: "find", record, set: { deleted: true }, saw: d.find?.ids ?? {} });
    expect((await j.list<Find>({ kind: "find" })).total).toBe(0);
    expect((await j.list<Find>({ kind: "find", deleted: true })).total).toBe(1);
    await j.count(hunt.record, {
      calls: { ordinary: 3, look: 1 },
      metals: [
        { name: "90 % silver", coins: 1, keepers: 1 },
        { name: "Clad", coins: 3, keepers: 0 },
      ],
    });
    await j.pause(hunt.record, true);
    const h = (await j.record(hunt.record)).hunt as Hunt;
    expect(h).toMatchObject({ state: "paused", counted: { ordinary: 3, look: 1 }, searched: 4 });
    const { account } = (await j.hunts()).hunts[0] ?? {};
    expect(account).toMatchObject({
      searched: 4,
      metals: [
        { name: "Clad", coins: 3 },
        { name: "90 % silver", coins: 1, keepers: 1 },
      ],
    });
    expect(j.onlyHere.value).toEqual({ finds: 1, hunts: 1, others: 0, photos: 0 });
    expect(j.unreadable.value).toBe(0);
  });

  it("takes back what a person wrote of a hunt, and coins that were counted", async () => {
    const j = start("core-5");
    const { record } = await j.write({ kind: "hunt", record: "", set: { source: "rolls" } });
    const hunt = async () => (await j.record(record)).hunt as Hunt;
    expect((await hunt()).judge_source).toBe("bank-roll");
    const paid = { amount: "25.00", currency: "USD" };
    for (const set of [{ rolls: 50 }, { coins: 2500 }, { paid }, { returned: paid }, { searched: 12 }]) {
      const before = await hunt();
      const w = await j.write({ kind: "hunt", record, set, saw: before.ids });
      expect(await hunt()).toMatchObject(set);
      const undone = await j.undo(w.entries.map((e) => e.id));
      const { ids: _, ...values } = await hunt();
      const { ids: __, ...earlier } = before;
      expect(values).toEqual(earlier);
      await j.undo(undone.entries.map((e) => e.id));
      expect(await hunt()).toMatchObject(set);
      const now = await hunt();
      await j.write({ kind: "hunt", record, set: { searched: null }, saw: now.ids });
    }
    await j.count(record, { calls: { ordinary: 3 } });
    const less = await j.count(record, { calls: { ordinary: -1 } });
    expect((await hunt()).counted).toEqual({ ordinary: 2 });
    await j.undo(less.entries.map((e) => e.id));
    expect((await hunt()).counted).toEqual({ ordinary: 3 });
    // Another start writes under another name, and still takes back what is counted.
    const again = start("core-5");
    await again.count(record, { calls: { ordinary: -2 } });
    expect((await again.record(record)).hunt?.counted).toEqual({ ordinary: 1 });
  });

  it("throws away a snapshot that is damaged or of an earlier version, and reads the entries", async () => {
    const shown = async (j: Journal) => (await j.list<Find>({ kind: "find" })).records.map((f) => f.note);
    const first = start("core-6");
    await first.write({ kind: "find", record: "", set: { note: "one" } });
    await first.write({ kind: "find", record: "", set: { note: "two" } });
    await first.snapshot(1);
    const row = await first.db.kept.get("snapshot");
    if (row?.key !== "snapshot" || !row.bytes) throw new Error("no snapshot");
    const { bytes } = row;
    const notBytes = { text: new TextDecoder().decode(bytes) };
    const damaged = [{ bytes: bytes.slice(0, -1) }, { bytes: bytes.slice(1) }, { bytes: new ArrayBuffer(0) }];
    for (const wrong of [...damaged, notBytes]) {
      await first.db.kept.put({ key: "snapshot", upto: row.upto, ...wrong });
      const j = start("core-6");
      expect(await shown(j)).toEqual(["two", "one"]);
      expect(await j.db.kept.get("snapshot")).toBeUndefined();
    }
    await first.db.kept.put(row);
    const j = start("core-6");
    expect(await shown(j)).toEqual(["two", "one"]);
    expect(await j.db.kept.get("snapshot")).toBeDefined();
  });

  it("says on which phone something was written, once a run, and keeps which one it is", async () => {
    let now = 1_700_000_000_000;
    let called = "";
    const begin = () =>
      new Journal({
        db: new PhoneDb("core-7"),
        core,
        lock: lockOfOnePage(),
        now: () => now++,
        name: () => called,
      });
    const j = begin();
    const first = await j.write({ kind: "find", record: "", set: { note: "one" } });
    expect(first.entries.map((e) => [e.kind, e.field.split("/")[0]])).toEqual([
      ["find", "note"],
      ["phone", "writer"],
    ]);
    expect(j.onlyHere.value).toEqual({ finds: 1, hunts: 0, others: 0, photos: 0 });
    called = "Kitchen phone";
    const { record } = first;
    const second = await j.write({ kind: "find", record, set: { fate: "keep" } });
    expect(second.entries.map((e) => e.field)).toEqual(["fate", "name"]);
    expect((await j.undo(second.entries.slice(0, 1).map((e) => e.id))).entries).toHaveLength(1);
    const again = begin();
    const third = await again.write({ kind: "find", record, set: { certainty: "guess" } });
    expect(third.entries.map((e) => e.field.split("/")[0])).toEqual(["certainty", "writer"]);
    expect(third.entries[1]?.record).toBe(first.entries[1]?.record);
    const by = { phone: first.entries[1]?.record, name: "Kitchen phone", here: true };
    expect((await again.record(record)).history.map((e) => e.by)).toEqual([by, by, by, by]);
  });

  it("keeps a deletion that overlooked something open, and opens it again after an undo", async () => {
    const j = start("core-8");
    const { record } = await j.write({ kind: "find", record: "", set: { note: "first" } });
    const saw = ((await j.record(record)).find as Find).ids;
    await j.write({ kind: "find", record, set: { fate: "keep" } });
    await j.write({ kind: "find", record, set: { deleted: true }, saw });
    const shown = async () => (await j.record(record)).find as Find;
    expect((await shown()).overlooked?.map((o) => [o.field, o.value])).toEqual([["fate", "keep"]]);
    expect(await j.conflicts()).toMatchObject([{ record, overlooked: [{ field: "fate" }] }]);
    for (const deleted of [null, true]) {
      const d = await j.write({ kind: "find", record, set: { deleted }, saw: (await shown()).ids });
      expect(await j.conflicts()).toEqual([]);
      await j.undo(d.entries.map((e) => e.id));
      expect((await shown()).overlooked).toHaveLength(1);
    }
  });

  it("refuses an end of a hunt before its begin", async () => {
    const j = start("core-9");
    const { record } = await j.write({ kind: "hunt", record: "", set: { begun: 2_000 } });
    await expect(j.write({ kind: "hunt", record, set: { ended: 1_999 } })).rejects.toMatchObject({
      fault: { field: "ended" },
    });
    expect((await j.hunts()).counting).toBe(record);
  });

  it("says which field was wrong, and stores nothing of the write", async () => {
    const j = start("core-2");
    const wrong = j.write({ kind: "find", record: "", set: { note: "fine", certainty: "perhaps" } });
    await expect(wrong).rejects.toMatchObject({ fault: { field: "certainty" } });
    expect(await j.db.entries.count()).toBe(0);
  });

  it("shows what two phones wrote of one field, and ends it by a choice", async () => {
    const one = start("core-3");
    const { record } = await one.write({ kind: "find", record: "", set: { note: "first" } });
    const first = (await one.record(record)).find as Find;
    await one.write({ kind: "find", record, set: { note: "mine" }, saw: first.ids });
    await one.write({ kind: "find", record, set: { note: "theirs" }, saw: first.ids });
    const quarrel = (await one.record(record)).find as Find;
    expect(quarrel.conflicts.map((c) => [c.shown.value, c.others.map((o) => o.value)])).toEqual([
      ["theirs", ["mine"]],
    ]);
    expect(await one.conflicts()).toMatchObject([{ record, kind: "find" }]);
    await one.write({ kind: "find", record, set: { note: "mine" }, saw: quarrel.ids });
    expect((await one.record(record)).find).toMatchObject({ note: "mine", conflicts: [] });
  });
});
