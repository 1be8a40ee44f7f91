import { expect, it } from "vitest";
import { type Issue, readCoins } from "../core/coins";
import { diameterOf } from "./coin";

const issue = (id: string, first: number, last: number, mm: number, open = false): Issue => {
  const struck = [{ first, last, open }];
  const planchet = { mass: { value: 1 }, diameter: { value: mm } };
  const [i] = readCoins({ coins: [{ id, struck, planchet }] }).coins;
  if (!i) throw new Error("no issue");
  return i;
};

const cents = [
  issue("large", 1793, 1857, 28.5),
  issue("bronze", 1864, 1982, 19.05),
  issue("zinc", 1982, 2030, 19.05, true),
];

it("a coin is as wide as its issue, its year, or the one that is struck still", () => {
  const of = (more: object) => diameterOf({ country: "US", denomination: "cent", ...more }, cents);
  expect(of({ issue: "large", year: 1982 })).toEqual({ mm: 28.5, unsure: false });
  expect(of({ year: 1982 })).toEqual({ mm: 19.05, unsure: false });
  expect(of({})).toEqual({ mm: 19.05, unsure: true });
  expect(of({ year: 1700 })).toEqual({ mm: 19.05, unsure: true });
  expect(diameterOf(undefined, cents)).toBeNull();
  expect(diameterOf({ country: "US", denomination: "cent" }, [])).toBeNull();
});
