import { expect, it } from "vitest";
import { coinOn, type Dated, readDated } from "./dated";

const date = (years: string, mints: string[]) => ({ years, mints }) as Dated;

it.each([
  [date("1955", ["-"]), { year: 1955, mint: "-" }],
  [date("1969", ["S"]), { year: 1969, mint: "S" }],
  [date("1970", []), { year: 1970 }],
  [date("1943", ["D", "S"]), { year: 1943 }],
  [date("1942-1945", ["P"]), { mint: "P" }],
])("%j is a coin of %j", (d, coin) => {
  expect(coinOn(d)).toEqual(coin);
});

it("reads what the core answers, and nothing of what is no date", () => {
  expect(
    readDated({ dates: [{ years: "1955", mints: ["-"], name: "Doubled die", see: "wide" }, { name: "x" }] }),
  ).toEqual([
    {
      years: "1955",
      mints: ["-"],
      name: "Doubled die",
      side: "",
      where: "",
      see: "wide",
      rarity: "",
      english: [],
    },
  ]);
  expect(readDated(null)).toEqual([]);
});
