/** What the paper dial says, on screen and on paper, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

const { figure } = writing("en");

export const dialTexts = {
  dial: {
    how: "What changes the light",
    ways: { lamp: "Lamp moved", dial: "Coin turned" },
    many: "Photos",
    counts: { 4: "4, quick", 8: "8, finer" },
    hint: "The lamp stands still and the coin turns with a paper disc under it. That suits a lamp on a stand, and keeps its height the same in every photo.",
    print: "Print the dial",
    mark: (n: number) => `Mark ${n}`,
    lead: {
      first:
        "Lamp low at the arrow, coin in the middle, the arrow at the top of the picture. Turn the disc to 1, then take the picture. Lamp and camera stay as they are from here on.",
      next: (n: number) => `Turn the disc until ${n} is at the arrow. Don’t touch the coin.`,
    },
    choose: (left: number) => `Or choose photos: ${left} left, in this order`,
    againMark: (n: number) => `Take mark ${n} again`,
    astray: (n: number, off: string) =>
      `The photo for mark ${n} isn’t turned as the disc says: the coin lies about ${figure(off)}° off. The others are fine; turn the disc to ${n} and take this one again.`,
    noRim: (n: number) =>
      `No coin’s outline was found in the photo for mark ${n}. The others are still there; take this one again, with all of the coin in the picture.`,
    slipped:
      "The photos can’t be laid over each other closely enough: the coin slipped on the disc, or lamp or camera moved. Fix all three and take the photos again.",

    title: "Paper dial",
    intro:
      "For side light with a lamp that stands still: print this, cut out the disc, and turn the coin on it.",
    paper: "Paper",
    papers: { a4: "A4", letter: "US Letter" },
    printNow: "Print",
    printHint:
      "Print at 100%, without “fit to page”. No printer on this device? Open this page on the laptop: Tools, Second look, Paper dial.",
    preview:
      "The dial as it is printed: a disc with eight marks around a place for the coin, and a line to check the size by.",
    link: "Paper dial for side light",
    sheet: {
      title: "Dial for side light",
      lamp: "Lamp on this side",
      cut: "cut along this circle",
      check: "This line is 100 mm long if the page was printed at full size.",
      scaled: "On a page that was printed smaller the disc still turns by the right angles.",
      steps: [
        "1. Cut out the disc. Tape the rest of the sheet to the table and lay the disc back into its hole.",
        "2. Lay the coin on the cross, its middle on the middle of the disc. Hold it by its edge, and glue nothing to it.",
        "3. Stand the lamp low behind the arrow. Hold the camera straight above, the arrow at the top.",
        "4. Turn the disc mark by mark to the arrow, as the screen says. Lines on disc and sheet then meet all around.",
      ],
    },
  },
};
