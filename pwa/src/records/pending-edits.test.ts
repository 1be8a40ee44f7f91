import { describe, expect, it } from "vitest";
import type { Detail, Find, Hunt, PastEntry, Written } from "../core/journal";
import { PendingEdits } from "./pending-edits";

const bare = { record: "r", deleted: false, ids: { lies: ["a.1"] }, conflicts: [] };
const find: Find = { ...bare, photos: [{ sha256: "f", type: "image/jpeg", bytes: 1 }], lies: { in: "tube" } };
const read = (over: Partial<Detail>, ids: string[] = []): Detail => ({
  kind: "find",
  history: ids.map((id) => ({ id, at: 0, field: "lies", value: null, now: "shown" }) satisfies PastEntry),
  ...over,
});
const wrote = (field: string, id: string): Written => ({
  record: "r",
  entries: [{ id, record: "r", kind: "find", field, raw: "" }],
});

describe("PendingEdits", () => {
  it("writes the second value having seen the first, though the record wasn’t read between", async () => {
    const edits = new PendingEdits();
    const saw: unknown[] = [];
    let n = 1;
    const write = async (seen: Record<string, string[]>) => {
      saw.push(seen.lies);
      return wrote("lies", `a.${++n}`);
    };
    await Promise.all([
      edits.save({ lies: { in: "flip" } }, find.ids, write),
      edits.save({ lies: { in: "flip", label: "7" } }, find.ids, write),
    ]);
    expect(saw).toEqual([["a.1"], ["a.1", "a.2"]]);
  });

  it("deletes having seen all that this screen wrote, in every field", async () => {
    const edits = new PendingEdits();
    await edits.save({ note: "mine" }, find.ids, async () => wrote("note", "a.2"));
    await edits.save({ lies: null }, find.ids, async () => wrote("lies", "a.3"));
    let saw: unknown;
    const two = [...wrote("deleted", "a.4").entries, ...wrote("deleted", "a.5").entries];
    await edits.save({ deleted: true }, find.ids, async (s) => {
      saw = s;
      return { record: "r", entries: two };
    });
    expect(saw).toEqual({ lies: ["a.1", "a.3"], note: ["a.2"] });
    await edits.save({ deleted: null }, find.ids, async (s) => {
      saw = s.deleted;
      return null;
    });
    expect(saw).toEqual(["a.4", "a.5"]); // a hunt of many rolls has several
  });

  it("shows what was written until a reading has it, and then the reading", async () => {
    const edits = new PendingEdits();
    const done = edits.save({ lies: { in: "flip" } }, find.ids, async () => wrote("lies", "a.2"));
    expect(edits.overFind(read({ find }))?.lies).toEqual({ in: "flip" });
    await done;
    expect(edits.overFind(read({ find }, ["a.1"]))?.lies).toEqual({ in: "flip" });
    expect(edits.overFind(read({ find }, ["a.1", "a.2"]))?.lies).toEqual({ in: "tube" });
  });

  it("shows a plain field once it is stored, until a reading has it, and leaves counts to the core", async () => {
    const edits = new PendingEdits();
    const detail = (ids: string[]) => read({ find: { ...find, note: "old" } }, ids);
    const done = edits.save({ note: "new", searched: 7 }, {}, async () => ({
      record: "r",
      entries: [...wrote("note", "a.2").entries, ...wrote("searched", "a.3").entries],
    }));
    expect(edits.overFind(detail([]))?.note).toBe("old");
    await done;
    expect(edits.overFind(detail([]))).toEqual({ ...find, note: "new" });
    expect(edits.overFind(detail(["a.2"]))?.note).toBe("old");
  });

  it("shows the record again when nothing was written", async () => {
    const edits = new PendingEdits();
    await edits.save({ lies: null }, find.ids, async () => null);
    expect(edits.overFind(read({ find }))?.lies).toEqual({ in: "tube" });
    await edits.save({ lies: { in: "tube" } }, find.ids, async () => ({ record: "r", entries: [] }));
    expect(edits.overFind(read({ find: { ...find, lies: { in: "box" } } }))?.lies).toEqual({ in: "box" });
  });

  it("goes on after a write that failed by surprise", async () => {
    const edits = new PendingEdits();
    const failed = edits.save({ lies: null }, find.ids, () => Promise.reject(new Error("gone")));
    const next = edits.save({ lies: null }, find.ids, async () => wrote("lies", "a.2"));
    await expect(failed).rejects.toThrow("gone");
    expect(edits.overFind(read({ find }))?.lies).toBeUndefined(); // the second is under way
    expect((await next)?.entries).toHaveLength(1);
    await edits.save({ fate: "keep" }, {}, () => Promise.reject(new Error("gone"))).catch(() => {});
    expect(edits.overFind(read({ find }, ["a.2"]))?.lies).toEqual({ in: "tube" });
  });

  it("lays photos and rolls over those that were read", async () => {
    const edits = new PendingEdits();
    const never = () => new Promise<null>(() => {});
    void edits.save({ "photo/f": { sha256: "f", type: "image/jpeg", bytes: 1, side: "edge" } }, {}, never);
    expect(edits.overFind(read({ find }))?.photos[0]?.side).toBe("edge");
    void edits.save({ "photo/f": null }, {}, never);
    expect(edits.overFind(read({ find }))?.photos).toEqual([]);
    const hunt: Hunt = {
      ...bare,
      state: "planned",
      active_ms: 0,
      progress: [{ roll: 1, coins: 50, done: true }],
      counted: {},
      searched: 0,
    };
    void edits.save({ "roll/2": { coins: 40, done: true } }, {}, never);
    expect(edits.overHunt(read({ kind: "hunt", hunt }))?.progress).toEqual([
      { roll: 1, coins: 50, done: true },
      { roll: 2, coins: 40, done: true },
    ]);
  });
});
