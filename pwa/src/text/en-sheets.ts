import { ringTest } from "./en-ring";

/** What date entry and evidence say, in English; a part of the texts in en.ts. */
export const sheetTexts = {
  dateEntry: {
    title: "Year and mint",
    open: "Date",
    any: "any",
    anyMint: "mint not read",
    again: "Same again",
    stages: { run: "Which years?", date: "Which date and mint mark?", mint: "Which mint mark?" },
    run: (first: string, last: string) => `${first}–${last.slice(2)}`,
    anyDate: "Any date",
    noRead: "mint?",
    noReadLong: (year: string) => `${year}, mint mark not read`,
    noMark: "no mark",
    back: "Back",
    close: "Close",
    typed: "Digits and letters on a keyboard work too.",
    unknownYear: (name: string, year: string) =>
      `The coin book has no ${name} of ${year}. Read the digits again; an odd date may be altered.`,
    date: (year: string, mint: string) => `${year}, ${mint}`,
  },

  evidence: {
    title: "Your observations",
    next: "Next test",
    how: "Show me how",
    caution: "Take care",
    more: "Add another observation",
    given: "You said",
    saidThere: (what: string) => `From that phone: ${what}.`,
    toldThere: (name: string) => `${name} is at the scale. Enter what you find there, or take over here.`,
    remove: (what: string) => `Take back: ${what}`,
    undo: "Undo",
    sameCoin: "Same coin as before",
    set: "Take it",
    millimetres: "in mm",
    toDensity: "Weigh it in water",
    toDate: "Enter year and mint",
    badNumber: "No coin is that size. Type millimeters, like 19.05.",
    densityUse: "Use this for the verdict",
    densityUsed: "Kept for the verdict: put the coin back on the pan, then tap “Same coin as before”.",
    tests: {
      magnet: {
        name: "Magnet",
        short: "magnet",
        steps: [
          "Take a small, weak magnet. Hang it on a thread or lay it beside the coin.",
          "Bring the coin near slowly. Does it stick, pull a little, or not move?",
          "A strong magnet tugs a little even at coins that don’t stick.",
        ],
        caution:
          "Keep magnets away from pacemakers and other implants, cards and watches. Strong ones pinch. Keep them from children: swallowed magnets are an emergency.",
      },
      edge: {
        name: "Edge",
        short: "edge",
        steps: [
          "Hold the coin by its faces and turn it under the lamp.",
          "Is the edge plain, reeded or lettered?",
        ],
        caution: "Work over something soft: a dropped coin gets a dented edge.",
      },
      stripe: {
        name: "Line on the edge",
        short: "edge line",
        steps: [
          "Look along the edge in daylight, with the loupe.",
          "Clad coins show a copper line between two white ones; dirt can hide or fake it.",
        ],
        caution: "Don’t file or scratch the edge to see it.",
      },
      colour: {
        name: "Metal color",
        short: "color",
        steps: [
          "Look in daylight at the highest spots, where the metal shows.",
          "Tarnish can be any color: what counts is the metal under it.",
        ],
        caution: "Don’t clean or scratch it to see it.",
      },
      ring: ringTest,
      diameter: {
        name: "Diameter",
        short: "diameter",
        steps: [
          "Zero the calipers closed.",
          "Measure across the coin twice, the second time turned a quarter turn, and take the larger.",
        ],
        caution: "Close the jaws without pressing: metal jaws scratch. Plastic ones are kinder.",
      },
      thickness: {
        name: "Thickness",
        short: "thickness",
        steps: [
          "Measure at the rim, at three places, and take the middle value.",
          "Not over the design: it is higher there.",
        ],
        caution: "Close the jaws without pressing: metal jaws scratch. Plastic ones are kinder.",
      },
      density: {
        name: "Density",
        short: "density",
        steps: ["Weigh it dry and in water with the density tool, then use the answer for the verdict."],
        caution:
          "The coin gets wet: plain water only, dab it dry, and don’t do it to a coin whose surface matters.",
      },
      design: {
        name: "Which coin it is",
        short: "design",
        steps: ["Read the denomination on the coin.", "A foreign coin has a different legend."],
        caution: "Set aside a coin you can’t name; don’t throw it back.",
      },
      date: {
        name: "Date",
        short: "date",
        steps: ["Read the date with the loupe, the lamp low from the side."],
        caution: "Never use acid to bring a date back.",
      },
      mint: {
        name: "Mint mark",
        short: "mint mark",
        steps: ["Look for the letter and its place; the list below says where it belongs."],
        caution: "Don’t pick at the letter.",
      },
    },
    answers: {
      magnetic: { no: "Doesn’t stick", weak: "Slight pull", yes: "Sticks" },
      edge: { plain: "Plain", reeded: "Reeded", lettered: "Lettered", other: "Other" },
      stripe: { yes: "A line", no: "None" },
      colour: {
        red: "Copper-red",
        yellow: "Golden",
        white: "Silvery",
        grey: "Gray",
        "two-hue": "Two colors",
      },
      design: { yes: "It is that coin", no: "Another" },
    },
    measured: {
      diameter_mm: (n: string) => `${n}\u00a0mm`,
      thickness_mm: (n: string) => `${n}\u00a0mm`,
      density: (n: string) => `${n}\u00a0g/cm³`,
    },
  },
};
