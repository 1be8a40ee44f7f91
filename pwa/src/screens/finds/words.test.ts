import { describe, expect, it } from "vitest";
import type { Find } from "../../core/journal";
import { callOf, titleWords } from "./words";

const find = (over: Partial<Find>): Find => ({
  record: "1",
  deleted: false,
  ids: {},
  conflicts: [],
  photos: [],
  ...over,
});
const cent = { country: "US", denomination: "cent" };
const bronze = { call: "look", metal: "bronze", seen: ["Small date"] };

describe("a find's title", () => {
  it.each([
    [{ coin: { ...cent, year: 1982, mint: "D" }, gist: bronze }, "1982-D, bronze · Small date", "cent"],
    [{ coin: { ...cent, year: 1982, mint: "-" }, gist: bronze }, "1982, bronze · Small date", "cent"],
    [{ coin: { ...cent, mint: "S" } }, "S cent", ""],
    [{ coin: cent, gist: { call: "ordinary", metal: "bronze" } }, "cent, bronze", ""],
    [{ coin: { ...cent, year: 1998 }, gist: { call: "look", seen: ["Wide AM"] } }, "1998 · Wide AM", "cent"],
    [{}, "Coin", ""],
  ] satisfies [Partial<Find>, string, string][])("%j", (over, title, coin) => {
    expect(titleWords(find(over), null)).toEqual({ title, coin });
  });

  it("is taken from the verdict of a find that was kept before lists had a gist", () => {
    const verdict = {
      call: "ordinary",
      headline: "Bronze cent.",
      decisive: true,
      alloys: [{ name: "bronze, 95 % copper" }],
    };
    const old = find({ coin: { ...cent, year: 1981, mint: "D" }, verdict });
    expect(titleWords(old, null).title).toBe("1981-D, bronze, 95 % copper");
    expect(callOf(old)).toBe("ordinary");
  });

  it("has no badge for a call that only a newer version knows", () => {
    expect(callOf(find({ gist: { call: "sell" } }))).toBeUndefined();
    expect(callOf(find({ gist: bronze }))).toBe("look");
  });
});
