import { describe, expect, it } from "vitest";
import type { WantedPhoto } from "../../core/sync";
import { lostOf, wantedWords } from "./wanted-bar";

const wanted = (over: Partial<WantedPhoto>): WantedPhoto => ({
  photo: "a",
  why: "damaged",
  record: "",
  here: false,
  waiting_for: ["Ann’s phone"],
  ...over,
});

describe("what is said of lost photos", () => {
  it.each<[string, WantedPhoto[], string]>([
    [
      "asked for",
      [wanted({})],
      "1 photo is damaged on the laptop; a phone that still has it will send it again.",
    ],
    [
      "here",
      [wanted({ here: true, why: "gone" })],
      "1 photo is gone from the laptop; this phone has it and sends it again.",
    ],
    [
      "some here",
      [wanted({ here: true }), wanted({ why: "gone" })],
      "2 photos are damaged or gone on the laptop; a phone that still has them will send them again.",
    ],
    [
      "nobody's, among others",
      [wanted({ here: true }), wanted({ why: "absent", waiting_for: [] })],
      "1 photo isn’t on the laptop, and no phone has it anymore.",
    ],
    [
      "here, and everybody else has said no",
      [wanted({ here: true, waiting_for: [] })],
      "1 photo is damaged on the laptop; this phone has it and sends it again.",
    ],
  ])("%s", (_, list, words) => {
    expect(wantedWords(list, false)).toBe(words);
  });

  it("leaves out what is here and on its way for the first time", () => {
    expect(lostOf([wanted({ here: true, why: "absent" }), wanted({ why: "absent" })])).toHaveLength(1);
  });
});
