import { describe, expect, it } from "vitest";
import type { Written } from "../core/journal";
import { Acts } from "./acts";
import { StoreFault } from "./db";

const written = (record: string, ...ids: string[]): Written => ({
  record,
  entries: ids.map((id) => ({ id, record, kind: "find", field: "note", raw: "" })),
});

class Table {
  answer = async (): Promise<Written> => written("f", "1");
  undone: string[][] = [];
  told = 0;
  acts = new Acts(
    {
      write: () => this.answer(),
      undo: async (ids) => {
        this.undone.push(ids);
        return written("f", `${ids[0]}-back`);
      },
    },
    () => this.told++,
  );
}

const change = { kind: "find" as const, record: "f", set: { note: "x" } };

describe("acts", () => {
  it("are remembered by their entries, the last of them", async () => {
    const t = new Table();
    await t.acts.write("saved", change);
    expect(t.acts.last.value).toEqual({ what: "saved", kind: "find", record: "f", entries: ["1"] });
    expect(t.told).toBe(1);
  });

  it("that wrote nothing leave the one before to be taken back", async () => {
    const t = new Table();
    await t.acts.write("saved", change);
    t.answer = async () => written("f");
    await t.acts.write("deleted", change);
    expect(t.acts.last.value?.what).toBe("saved");
  });

  it("that fail say why, and leave the one before to be taken back", async () => {
    const t = new Table();
    await t.acts.write("saved", change);
    t.answer = async () => {
      throw new StoreFault("full", null);
    };
    expect(await t.acts.write("deleted", change)).toBeNull();
    expect(t.acts.trouble.value).toEqual({ is: "store", trouble: "full" });
    expect(t.acts.last.value?.what).toBe("saved");
    expect(t.told).toBe(1);
  });

  it("are taken back and done again, by turns", async () => {
    const t = new Table();
    await t.acts.write("saved", change);
    for (const what of ["undone", "redone", "undone"]) {
      const last = t.acts.last.peek();
      expect(last && (await t.acts.undo(last))?.what).toBe(what);
    }
    expect(t.undone).toEqual([["1"], ["1-back"], ["1-back-back"]]);
  });
});
