/** What is said of photos that should be on the laptop and aren't; a part of the texts in en.ts. */

/** Why a photo isn’t on the laptop, as core/sync.ts has it. */
type Why = "damaged" | "gone" | "absent";

const one = {
  damaged: "is damaged on the laptop",
  gone: "is gone from the laptop",
  absent: "isn’t on the laptop",
};
const many = {
  damaged: "are damaged on the laptop",
  gone: "are gone from the laptop",
  absent: "aren’t on the laptop",
};

/** “2 photos are damaged on the laptop” */
function state(n: number, whys: ReadonlySet<Why>): string {
  const [why] = whys;
  const words = why && whys.size === 1 ? (n === 1 ? one : many)[why] : "are damaged or gone on the laptop";
  return `${n} ${n === 1 ? "photo" : "photos"} ${words}`;
}

export const wantedTexts = {
  wanted: {
    label: "Photos that the laptop has lost",
    sentence: {
      here: (n: number, whys: ReadonlySet<Why>, onDesk: boolean) =>
        `${state(n, whys)}; this ${onDesk ? "browser has" : "phone has"} ${n === 1 ? "it and sends it" : "them and sends them"} again.`,
      asked: (n: number, whys: ReadonlySet<Why>) =>
        `${state(n, whys)}; a phone that still has ${n === 1 ? "it" : "them"} will send ${n === 1 ? "it" : "them"} again.`,
      nobody: (n: number, whys: ReadonlySet<Why>) =>
        `${state(n, whys)}, and no phone has ${n === 1 ? "it" : "one of them"} anymore.`,
    },
    whys: { damaged: "damaged", gone: "gone", absent: "never came" },
    here: "sent again from here",
    nobody: "nobody has it",
    waitingFor: (names: string[]) => `not heard from yet: ${names.join(", ")}`,
    noFind: "A photo without a find",
    letGo:
      "A damaged file is kept in the laptop’s data folder. A photo that nobody has can be removed from its find; a backup may have it still.",
    page: "The laptop has lost this photo and asks the phones for it. It is shown again once one has sent it.",
  },
};
