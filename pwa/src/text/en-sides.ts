/** What the angle between a coin's two sides says, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

const { figure } = writing("en");

export const sidesTexts = {
  sides: {
    hint: "By how much the reverse is turned against the obverse. It takes one photo of each side, with the coin turned over in between and the camera left as it was.",
    ways: { "top-to-bottom": "Top to bottom", "side-to-side": "Side to side" },
    struck: {
      "top-to-bottom": "Such coins stand upright on both sides when turned over top to bottom.",
      "side-to-side": "Such coins stand upright on both sides when turned over side to side.",
    },
    struckBy: "Common practice, by the coin book.",
    which: "Such coins stand upright when turned over",
    notSure:
      "Coins of this country differ, and the book can’t tell from what is known of this one. Turn an ordinary coin of the kind to find out.",
    notKnown:
      "The coin isn’t known. Turn an ordinary one of its kind to find out which way it stands upright.",
    turned: "How you turned this one over",
    hand: "What kept it straight",
    hands: { ruler: "A straight edge", free: "Free hand" },
    lead: {
      "top-to-bottom":
        "Lay a ruler along the coin’s upper edge. Photograph one side, tip the coin over toward the ruler or away from it, top to bottom, then photograph the other. Don’t turn coin or camera besides.",
      "side-to-side":
        "Lay a ruler along the coin’s left edge. Photograph one side, tip the coin over sideways, like the page of a book, then photograph the other. Don’t turn coin or camera besides.",
    },
    pictures: "The two sides",
    faces: { obverse: "Obverse", reverse: "Reverse" },
    swap: "Swap the sides",
    missing: "no photo yet",
    unlaid: "line not laid yet",
    laid: "line laid",
    byReference: "by your reference",
    other: { obverse: "Which photo shows the obverse", reverse: "Which photo shows the reverse" },
    noOther: "This find has no other photo. Add one of the other side, or choose one here to look only.",
    along: "The line follows something that is",
    alongs: { level: "Level", upright: "Upright" },
    alongHints: {
      level:
        "Drag both ends onto something that is level on an upright coin: the foot of the date, a line of letters. The arrow points to the coin’s right.",
      upright:
        "Drag both ends onto something that stands upright on the coin: a column, the letter I. The arrow points to the coin’s top.",
    },
    ends: { level: ["left end", "right end"], upright: ["lower end", "upper end"] },
    end: (face: string, end: string) => `${face}, ${end} of the line`,
    affirm: "It lies right as it is",
    reference: "Lay it by my reference",
    referenceUpright:
      "Your reference counts as upright, give or take some degrees. Check that the line follows something level; drag it if it doesn’t.",
    picture: (face: string) => `${face}, with the line that says how it is turned.`,
    working: "Looking at it …",
    again: "Find its rim again",
    told: (degrees: string, u: string) => `${figure(degrees)}° ±\u00a0${figure(u)}°`,
    between: "Between the sides",
    waits: "The angle appears once the line is laid on both sides.",
    senses: {
      counterclockwise: "The reverse is turned counterclockwise, looking at it.",
      clockwise: "The reverse is turned clockwise, looking at it.",
    },
    calls: {
      ordinary: "That is ordinary: mints let up to about 15° pass, and a few degrees are on most coins.",
      turned: "That is more than the 15° or so that mints let pass.",
      unclear:
        "That leaves it open: it lies near the 15° or so that mints let pass. Use a straight edge, longer lines, or measure it again.",
    },
    half: "It is near 180°, which mostly means that the coin was turned over the other way. Check that first.",
    about95: "± holds about 95 times in 100: photo, line and how you turned it.",
    keep: "Keep with the find",
    kept: "Kept with the find",
    keepNeeds: "To keep the angle, add the other side’s photo to the find and choose it there.",
    keptAs: (words: string) => `sides turned ${words}`,
    lookFor: "Look for",
    note: (kind: string) => `Note the find as: ${kind}`,
    noted: (kind: string) => `Noted as: ${kind}`,
  },
};
