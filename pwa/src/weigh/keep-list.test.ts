import { signal } from "@preact/signals";
import { describe, expect, it } from "vitest";
import type { CoreClient } from "../core/client";
import type { Country } from "../core/types";
import { KeepList } from "./keep-list";

const want = (id: string, start = false) => ({ id, name: id, note: "", start });
const book: Country[] = [
  { id: "US", name: "United States", denominations: [], wants: [want("silver", true), want("bronze-cents")] },
  { id: "CA", name: "Canada", denominations: [], wants: [want("silver", true), want("tombac")] },
  { id: "EU", name: "Euro", denominations: [], wants: [] },
];

/** Knows one entry. */
const core = {
  call: async (_: string, { entry }: { entry: string }) =>
    entry === "cent 1909 s"
      ? { ok: { wanted: [{ id: "cent 1909-S", name: "1909-S cents" }] } }
      : { ok: { wanted: [] } },
} as unknown as CoreClient;

describe("what is kept", () => {
  it("is left to the core until something is changed", () => {
    const list = new KeepList(core, signal(null), signal(book));
    expect(list.asked).toEqual({});
    expect([...new Set(list.entries.value)]).toEqual(["silver"]);
    expect(list.wants.value.map((w) => w.country.id)).toEqual(["US", "CA"]);
  });

  it("is added to and taken from by one tap, which one tap takes back", () => {
    const keep = signal<string[] | null>(null);
    const list = new KeepList(core, keep, signal(book));
    list.add([want("bronze-cents")]);
    expect(keep.value).toEqual(["silver", "bronze-cents"]);
    expect(list.undoable.value).toEqual({ added: true, names: ["bronze-cents"] });
    list.undo();
    expect([list.asked, list.undoable.value]).toEqual([{}, null]);
    list.remove(want("silver"));
    expect(list.asked).toEqual({ keep: [] });
    list.undo();
    expect(list.asked).toEqual({});
  });

  it("holds dates beside the book's wants", () => {
    const list = new KeepList(core, signal<string[] | null>(["silver", "cent 1909-S"]), signal(book));
    expect(list.dates.value).toEqual(["cent 1909-S"]);
    list.add([{ id: "1955", name: "1955" }]);
    list.add([{ id: "1955", name: "1955" }]);
    expect(list.dates.value).toEqual(["cent 1909-S", "1955"]);
  });
});

describe("an entry as it is typed", () => {
  it("is what the core makes of it", async () => {
    const list = new KeepList(core, signal(null), signal(book));
    expect(await list.meant("cent 1909 s")).toEqual([{ id: "cent 1909-S", name: "1909-S cents" }]);
    expect(await list.meant("soon")).toEqual([]);
    expect(await list.meant("  ")).toEqual([]);
  });
});
