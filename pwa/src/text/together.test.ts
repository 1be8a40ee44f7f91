import { describe, expect, it } from "vitest";
import { together } from "./together";

describe("figures in words", () => {
  it.each([
    ["2.27 g fits bronze, 95 % copper.", "2.27_g fits bronze, 95_% copper."],
    [
      "with a single one 16 % would be noticed (and 5 % of those",
      "with a single one 16_% would be noticed (and 5_% of those",
    ],
    ["10.49 ± 0.03 g/cm³ at 20 °C", "10.49_±_0.03_g/cm³ at 20_°C"],
    ["19.05 mm, 48 gr (3.11 g).", "19.05_mm, 48_gr (3.11_g)."],
  ])("%s", (words, held) => {
    expect(together(words)).toBe(held.replaceAll("_", "\u00a0"));
  });

  it.each(["Of 2 grades, 1 good.", "In 2 goes", "1982 D", "5 sets, 3 halves", "2 gérants"])(
    "%s stays as it is",
    (words) => {
      expect(together(words)).toBe(words);
    },
  );
});
