import { describe, expect, it } from "vitest";
import type { Find } from "../../core/journal";
import { arrange } from "./search";

const names = { countries: null, key: null };
const find = (record: string, over: Partial<Find>): Find => ({
  record,
  deleted: false,
  ids: {},
  conflicts: [],
  photos: [],
  ...over,
});

const cent = find("3", {
  coin: { country: "US", denomination: "cent", year: 1969, mint: "S" },
  note: "Kitchen jar",
  gist: { call: "look", metal: "bronze", seen: ["wide AM"] },
});
const dime = find("2", {
  coin: { country: "US", denomination: "dime", year: 1964 },
  weight: { value: "2.50", unit: "g", mean_g: 2.5 },
  lies: { in: "flip", label: "A-17" },
});
const bare = find("1", { weight: { value: "3.11", unit: "g", mean_g: 3.11 } });
const all = [cent, dime, bare];

describe("arrange", () => {
  it.each([
    ["1969 s", ["3"]],
    ["1969-s bronze", ["3"]],
    ["wide am", ["3"]],
    ["JAR", ["3"]],
    ["a-17 flip", ["2"]],
    ["2.50", ["2"]],
    ["us", ["3", "2"]],
    ["nothing of this", []],
    ["", ["3", "2", "1"]],
  ])("finds by “%s”", (search, records) => {
    expect(arrange(all, search, "newest", names).map((f) => f.record)).toEqual(records);
  });

  it("sorts as wanted and leaves the list itself as it was", () => {
    expect(arrange(all, "", "oldest", names).map((f) => f.record)).toEqual(["1", "2", "3"]);
    expect(arrange(all, "", "weight", names).map((f) => f.record)).toEqual(["3", "2", "1"]);
    expect(arrange(all, "", "coin", names).map((f) => f.record)).toEqual(["3", "2", "1"]);
    expect(all.map((f) => f.record)).toEqual(["3", "2", "1"]);
  });
});
