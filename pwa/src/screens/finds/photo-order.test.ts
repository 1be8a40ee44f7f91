import { describe, expect, it } from "vitest";
import type { PhotoOf } from "../../core/journal";
import { nextSide, sidesFirst } from "./photo-order";

const photo = (sha256: string, side: string, taken = 0): PhotoOf => ({
  sha256,
  type: "image/jpeg",
  bytes: 1,
  side,
  taken,
});

describe("photos of a find", () => {
  it("stand as one looks at a coin, of one side as they were taken", () => {
    const photos = [
      photo("a", "detail", 5),
      photo("b", "from elsewhere"),
      photo("c", "edge"),
      photo("d", "detail", 3),
      photo("e", "obverse"),
      photo("f", "reverse"),
    ];
    expect(sidesFirst(photos).map((p) => p.sha256)).toEqual(["e", "f", "c", "d", "a", "b"]);
  });

  it("lit from several sides come last, as the lamp went around", () => {
    const lit = (sha256: string, lamp: number) => ({ ...photo(sha256, "obverse", 2), lamp });
    const photos = [lit("a", 180), lit("b", 90), photo("c", "detail", 5), photo("d", "obverse", 9)];
    expect(sidesFirst(photos).map((p) => p.sha256)).toEqual(["d", "c", "b", "a"]);
  });

  it("want the faces first, then details", () => {
    expect(nextSide([])).toBe("obverse");
    expect(nextSide([photo("a", "obverse")])).toBe("reverse");
    expect(nextSide([photo("a", "obverse"), photo("b", "reverse")])).toBe("detail");
  });
});
