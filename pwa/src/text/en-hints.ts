/** What the second look says of hints and of kept side light, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

const { counted, figure } = writing("en");

/** One in how many. */
const oneIn = (rate: number): string => `1 in ${Math.round(1 / Math.max(rate, 1e-6))}`;

export const hintTexts = {
  hints: {
    hint: "Your coin’s shape is held against that of an ordinary coin of yours, same type and side. Places where they differ most are numbered: places to look at. A hint never changes the verdict.",
    needs: "What this needs",
    there: "there",
    missing: "missing",
    mine: "This coin, lit from four sides",
    lightIt: "Light it now",
    ordinary: "Your own ordinary coin of this type and side, lit from four sides",
    howOrdinary:
      "Take a coin of this type that you know to be ordinary and keep it as a find. Open its photo of this side here, light it from four sides, keep the photos, and make it your reference.",
    openReference: "Open your reference",
    isReference: "This coin is your reference. Hints are for the others of its type.",
    other: "The other side, lit from four sides; only to look for a clash",
    openOther: "Open the other side",
    noOther: "This find has no photo of the other side.",
    noFind:
      "Hints need a find, since your ordinary coin is kept by type. Keep the coin, then open its photo here.",
    noFace:
      "This photo isn’t of a whole side. Open the find’s photo of the obverse or reverse, or say on the photo’s page which side it shows.",
    noCoin: "Which coin this is isn’t known, so neither is what is ordinary. Say it on the find’s page.",
    noSize: "The coin’s size isn’t known. Type its diameter under Rim.",
    seek: "Look for differences",
    again: "Look again",
    comparing: "Comparing the two …",
    notHad: "Kept photos can’t be had now. They are on the laptop; join it, then try again.",
    none: "No place differs more than ordinary coins differ from one another. That proves nothing: small or faint things stay below the bar.",
    found: (n: number) => `${counted(n, "place", "places")} to look at. Tap one.`,
    list: "Places to look at, by number",
    kinds: {
      "second-image": "A second image here",
      "other-side": "The other side shows through",
      differs: "The shape differs here",
    },
    shifted: (mm: string, toward: string) => `About ${figure(mm)}\u00a0mm off, ${toward}.`,
    toward: [
      "to the right",
      "to the upper right",
      "upward",
      "to the upper left",
      "to the left",
      "to the lower left",
      "downward",
      "to the lower right",
    ],
    turned: (degrees: string) =>
      `The other side’s design, mirrored and turned by ${figure(degrees)}°, in the open field.`,
    unlike: "Something is here that your ordinary coin doesn’t have, or the other way around.",
    alike: {
      "second-image":
        "A doubled die, strike doubling and a worn die look alike from above. The points below tell them apart.",
      "other-side":
        "Clashed dies do this. So do two coins squeezed together after they left the mint, and chance.",
      differs: "A chip, a filled or missing letter, dirt and damage look alike here.",
    },
    rendered: (rate: number, coins: number) =>
      `At most about ${oneIn(rate)} ordinary coins gets a mark of this kind, counted on ${coins} rendered coins. Not tried on your camera.`,
    own: (rate: number, coins: number) =>
      `About ${oneIn(rate)} ordinary coins gets a mark of this kind, by ${coins} ordinary coins of yours.`,
    enlarge: "Enlarge it",
    swap: { ordinary: "Show my ordinary coin here", other: "Show the other side" },
    swapBack: "Show this coin again",
    tick: "Looked at",
    ticked: "looked at",
    untick: "Not looked at after all",
    lookFor: "What to look for on this coin",
    lookWaiting: "Asking the coin book …",
    lookNone: "The coin book can’t be asked now. The name can be found without it.",
    key: "Find its name, question by question",
    calibration: "Try it on your camera",
    calibrationHint: (n: number) =>
      `Ordinary coins of yours say how often a mark means nothing under your camera and lamp. From ${n} coins on, they set the bar.`,
    counted: (n: number, of: number) => `${n} of ${of} ordinary coins so far.`,
    setBy: (n: number) => `The bar is set by ${counted(n, "ordinary coin", "ordinary coins")} of yours.`,
    teach: "This coin is ordinary: count it",
    taught: "This coin counts as ordinary.",
    untaught: "Take it out again",
    onDevice: "Kept on this device, since it goes with its camera.",
    whose: { ordinary: "Your ordinary coin’s photos", other: "The other side’s photos" },
    noShape: (whose: string, why: string) => `${whose} give no shape. ${why}`,
    refusals: {
      "no-relief": "One of the shapes is missing. Light the coin again.",
      "no-fit":
        "The two don’t fit: another type or side, or one of them is blurred. Check that both are of one side, then light the worse one again.",
      unlike:
        "The two shapes agree too poorly to tell what differs. Light both again with the lamp a little higher, or take another ordinary coin.",
      "too-few": "Too little relief is left on it to compare. A less worn coin does better.",
      stopped: "Stopped. Nothing has changed.",
      left: "Stopped when the page was left. Nothing is lost.",
      failed: "The program for pictures couldn’t be had or broke down. Nothing is lost; try again.",
    },
  },

  keptLight: {
    keep: "Keep these four photos with the find",
    keeping: "Keeping them …",
    kept: "These four photos are kept with the find.",
    use: "Use the four photos that are kept",
    loading: "Getting the kept photos …",
    needsFace: "To keep them, open the find’s photo of the obverse or reverse first: they are kept by side.",
    photo: (side: string, lamp: string) => `${side}, ${lamp}`,
    lamps: {
      360: "lamp at the right",
      90: "lamp at the top",
      180: "lamp at the left",
      270: "lamp at the bottom",
    } as Record<number, string>,
  },
};
