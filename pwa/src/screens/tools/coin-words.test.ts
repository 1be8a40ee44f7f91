import { describe, expect, it } from "vitest";
import { readCoins } from "../../core/coins";
import { lengthWords, limitWords, massWords, metalWords, yearsWords } from "./coin-words";

const figure = (text: string, value: number) => ({ text, value, source: "s", grade: "P" });

describe("a coin of the book", () => {
  const [first] = readCoins({
    coins: [
      {
        id: "x",
        name: "X",
        struck: [
          { first: 1866, last: 1870, marks: ["-"] },
          { first: 1872, last: 1883, marks: ["-", "S"], open: true },
        ],
        planchet: {
          mass: figure("77.16 gr", 4.9998838956),
          limit: { ...figure("3 gr", 0.19439673), scope: "piece" },
          diameter: figure("0.955 in", 24.257),
          thickness: figure("1.75 mm", 1.75),
          alloy: { name: "copper-nickel", fractions: { Ni: 0.25, Cu: 0.75 } },
        },
      },
    ],
  }).coins;
  if (!first) throw new Error("unread");

  it("is told in grams and millimetres, with the source's own figure beside", () => {
    expect(massWords(first.mass)).toBe("5.00\u00a0g (77.16\u00a0grains)");
    expect(first.diameter && lengthWords(first.diameter)).toBe("24.26\u00a0mm (0.955 in)");
    expect(first.thickness && lengthWords(first.thickness)).toBe("1.75\u00a0mm");
    expect(yearsWords(first)).toBe("1866–1883");
    expect(metalWords(first.alloy)).toBe("75% copper, 25% nickel");
  });

  it("says whether a limit is for a piece, for a batch, or not published", () => {
    expect(limitWords(first.limit)).toContain("for each piece");
    const batch = { ...figure("44.96 g", 0.1124), scope: "batch", batch: "44.96 g per kilogram" };
    expect(limitWords(batch)).toBe("for a batch: ±\u00a044.96 g per kilogram");
    expect(limitWords(null)).toBe("none published");
  });
});
