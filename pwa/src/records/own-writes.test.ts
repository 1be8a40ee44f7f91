import { describe, expect, it } from "vitest";
import type { Detail, Find, Hunt, PastEntry, Written } from "../core/journal";
import { OwnWrites } from "./own-writes";

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

describe("OwnWrites", () => {
  it("writes the second value having seen the first, though the record wasn’t read between", async () => {
    const own = new OwnWrites();
    const saw: unknown[] = [];
    let n = 1;
    const write = async (seen: Record<string, string[]>) => {
      saw.push(seen.lies);
      return wrote("lies", `a.${++n}`);
    };
    await Promise.all([
      own.save({ lies: { in: "flip" } }, find.ids, write),
      own.save({ lies: { in: "flip", label: "7" } }, find.ids, write),
    ]);
    expect(saw).toEqual([["a.1"], ["a.1", "a.2"]]);
  });

  it("deletes having seen all that this screen wrote, in every field", async () => {
    const own = new OwnWrites();
    await own.save({ note: "mine" }, find.ids, async () => wrote("note", "a.2"));
    await own.save({ lies: null }, find.ids, async () => wrote("lies", "a.3"));
    let saw: unknown;
    const two = [...wrote("deleted", "a.4").entries, ...wrote("deleted", "a.5").entries];
    await own.save({ deleted: true }, find.ids, async (s) => {
      saw = s;
      return { record: "r", entries: two };
    });
    expect(saw).toEqual({ lies: ["a.1", "a.3"], note: ["a.2"] });
    await own.save({ deleted: null }, find.ids, async (s) => {
      saw = s.deleted;
      return null;
    });
    expect(saw).toEqual(["a.4", "a.5"]); // a hunt of many rolls has several
  });

  it("shows what was written until a reading has it, and then the reading", async () => {
    const own = new OwnWrites();
    const done = own.save({ lies: { in: "flip" } }, find.ids, async () => wrote("lies", "a.2"));
    expect(own.overFind(read({ find }))?.lies).toEqual({ in: "flip" });
    await done;
    expect(own.overFind(read({ find }, ["a.1"]))?.lies).toEqual({ in: "flip" });
    expect(own.overFind(read({ find }, ["a.1", "a.2"]))?.lies).toEqual({ in: "tube" });
  });

  it("shows a plain field once it is stored, until a reading has it, and leaves counts to the core", async () => {
    const own = new OwnWrites();
    const detail = (ids: string[]) => read({ find: { ...find, note: "old" } }, ids);
    const done = own.save({ note: "new", searched: 7 }, {}, async () => ({
      record: "r",
      entries: [...wrote("note", "a.2").entries, ...wrote("searched", "a.3").entries],
    }));
    expect(own.overFind(detail([]))?.note).toBe("old");
    await done;
    expect(own.overFind(detail([]))).toEqual({ ...find, note: "new" });
    expect(own.overFind(detail(["a.2"]))?.note).toBe("old");
  });

  it("shows the record again when nothing was written", async () => {
    const own = new OwnWrites();
    await own.save({ lies: null }, find.ids, async () => null);
    expect(own.overFind(read({ find }))?.lies).toEqual({ in: "tube" });
    await own.save({ lies: { in: "tube" } }, find.ids, async () => ({ record: "r", entries: [] }));
    expect(own.overFind(read({ find: { ...find, lies: { in: "box" } } }))?.lies).toEqual({ in: "box" });
  });

  it("goes on after a write that failed by surprise", async () => {
    const own = new OwnWrites();
    const failed = own.save({ lies: null }, find.ids, () => Promise.reject(new Error("gone")));
    const next = own.save({ lies: null }, find.ids, async () => wrote("lies", "a.2"));
    await expect(failed).rejects.toThrow("gone");
    expect(own.overFind(read({ find }))?.lies).toBeUndefined(); // the second is under way
    expect((await next)?.entries).toHaveLength(1);
    await own.save({ fate: "keep" }, {}, () => Promise.reject(new Error("gone"))).catch(() => {});
    expect(own.overFind(read({ find }, ["a.2"]))?.lies).toEqual({ in: "tube" });
  });

  it("lays photos and rolls over those that were read", async () => {
    const own = new OwnWrites();
    const never = () => new Promise<null>(() => {});
    void own.save({ "photo/f": { sha256: "f", type: "image/jpeg", bytes: 1, side: "edge" } }, {}, never);
    expect(own.overFind(read({ find }))?.photos[0]?.side).toBe("edge");
    void own.save({ "photo/f": null }, {}, never);
    expect(own.overFind(read({ find }))?.photos).toEqual([]);
    const hunt: Hunt = {
      ...bare,
      state: "planned",
      active_ms: 0,
      progress: [{ roll: 1, coins: 50, done: true }],
      counted: {},
      searched: 0,
    };
    void own.save({ "roll/2": { coins: 40, done: true } }, {}, never);
    expect(own.overHunt(read({ kind: "hunt", hunt }))?.progress).toEqual([
      { roll: 1, coins: 50, done: true },
      { roll: 2, coins: 40, done: true },
    ]);
  });
});
