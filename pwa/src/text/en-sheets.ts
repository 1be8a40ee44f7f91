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
    typed: "Figures and letters of a keyboard work too.",
    unknownYear: (name: string, year: string) =>
      `The coin book has no ${name} of ${year}. Look at the figures again; an odd date may be an altered one.`,
    date: (year: string, mint: string) => `${year}, ${mint}`,
  },

  evidence: {
    title: "What you find out",
    next: "Next test",
    how: "How to do it",
    caution: "Take care",
    more: "Tell something else about it",
    given: "You said",
    saidThere: (what: string) => `Told there: ${what}.`,
    toldThere: (name: string) =>
      `${name} holds the pan: what you find out about the coin is told there, or here once you take over.`,
    remove: (what: string) => `Take back: ${what}`,
    undo: "Undo",
    sameCoin: "Same coin as before",
    set: "Take it",
    millimetres: "in mm",
    toDensity: "Weigh it in water",
    toDate: "Enter year and mint",
    badNumber: "That is not a size a coin can have. Type millimetres, like 19.05.",
    densityUse: "Use this for the verdict",
    densityUsed: "Kept for the verdict: put the coin back on the pan, then tap “Same coin as before”.",
    tests: {
      magnet: {
        name: "Magnet",
        short: "magnet",
        steps: [
          "Take a small, weak magnet; hang it on a thread or lay it beside the coin.",
          "Bring the coin near slowly. Does it swing over, lean a little, or not move?",
          "A strong magnet pulls a little at coins that count as not drawn.",
        ],
        caution:
          "Keep magnets away from pacemakers and other implants, cards and watches. Strong ones pinch. Keep them from children: swallowed magnets are an emergency.",
      },
      edge: {
        name: "Edge",
        short: "edge",
        steps: [
          "Hold the coin by its faces and turn it under the lamp.",
          "Is the edge smooth, ribbed, or lettered?",
        ],
        caution: "Over something soft: a dropped coin gets a dented edge.",
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
        name: "Colour of the metal",
        short: "colour",
        steps: [
          "Look in daylight at the highest spots, where the metal shows.",
          "Tarnish can be any colour: what counts is the metal under it.",
        ],
        caution: "Don’t clean or scratch it to see it.",
      },
      diameter: {
        name: "Diameter",
        short: "diameter",
        steps: [
          "Zero the calipers closed.",
          "Measure across the coin twice, the second time turned by a quarter, and take the larger.",
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
        steps: ["Read the denomination on it.", "A coin of another country has another legend."],
        caution: "One you can’t name is kept apart, not thrown back.",
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
        steps: ["Look for the letter and where it stands; the sheet below says where it belongs."],
        caution: "Don’t pick at a letter to see more of it.",
      },
    },
    answers: {
      magnetic: { no: "Not drawn", weak: "Leans a little", yes: "Drawn" },
      edge: { plain: "Smooth", reeded: "Ribbed", lettered: "Lettered", other: "Otherwise" },
      stripe: { yes: "A line", no: "None" },
      colour: {
        red: "Copper-red",
        yellow: "Golden",
        white: "Silvery",
        grey: "Grey",
        "two-hue": "Two colours",
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
