import { describe, expect, it } from "vitest";
import { readCoins, readFits } from "./coins";

const figure = (text: string, value: number) => ({ text, value, source: "s", grade: "P" });
const coin = {
  id: "x",
  name: "X",
  struck: [
    { first: 1866, last: 1870, marks: ["-"] },
    { first: 1872, last: 1883, marks: ["-", "S"], open: true },
    { first: "?", last: 1 },
  ],
  planchet: {
    mass: figure("77.16 gr", 4.9998838956),
    limit: { ...figure("3 gr", 0.19439673), scope: "piece" },
    diameter: figure("0.955 in", 24.257),
    thickness: figure("1.75 mm", 1.75),
    alloy: { name: "copper-nickel", fractions: { Ni: 0.25, Cu: 0.75, Zn: "?" } },
    layers: [{ part: "face", alloy: { name: "a" }, share: 0.3 }, { part: "core" }],
    density: { value: 8.9, low: 8.8 },
  },
};

describe("the coin book's answer", () => {
  const read = readCoins({ coins: [coin, { id: "no-mass" }, 3], sources: [{ id: "s", title: "S" }, {}] });
  const first = read.coins[0];
  if (!first) throw new Error("unread");

  it("reads coins of every country, and which of them fit", () => {
    const abroad = { ...coin, country: "MX", country_name: "Mexico", chance: 0.4 };
    expect(readCoins({ strangers: [abroad, {}] }).strangers).toMatchObject([
      { countryName: "Mexico", name: "X" },
    ]);
    expect(readFits({})).toBeNull();
    const fits = readFits({ sentence: "2 fit.", coins: [abroad, 3], more: 1, caution: "care" });
    expect(fits).toMatchObject({ sentence: "2 fit.", more: 1, caution: "care", coins: [{ chance: 0.4 }] });
    expect(readFits({ sentence: "None." })).toMatchObject({ coins: [], more: 0, caution: "" });
  });

  it("leaves out what has no essentials and keeps the rest", () => {
    expect(read.coins).toHaveLength(1);
    expect(first.spans).toHaveLength(2);
    expect(first.density).toBeNull(); // no band, no figure
    expect(first.layers[1]).toMatchObject({ part: "core", share: null });
    expect([...read.sources.keys()]).toEqual(["s"]);
    expect(readCoins(null).coins).toEqual([]);
  });

  it("keeps where edge, colour and pull come from, and the foreign strikes with theirs", () => {
    const by = { source: "s", grade: "from memory" };
    const planchet = { ...coin.planchet, edge: "plain", edge_by: by, looks_by: { ...by, grade: "P" } };
    const struck_for_others = [
      { country: "US", name: "Canadian ten cents", struck: [{ first: 1968, last: 1969 }], by, planchet },
      { name: "without a planchet" },
    ];
    const all = readCoins({ struck_for_others });
    expect(all.struckForOthers).toHaveLength(1);
    expect(all.struckForOthers[0]).toMatchObject({ by, edgeBy: by, looksBy: { source: "s", grade: "P" } });
    expect(first).toMatchObject({ edgeBy: null, looksBy: null });
  });
});
