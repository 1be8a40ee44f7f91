/** What the second look at a picture says, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

const { figure, percent } = writing("en");

export const benchTexts = {
  bench: {
    loading: "Loading …",
    open: "Look again, with rim and ruler",
    intro:
      "Find the coin in a picture, measure on it, lay it over another, light it from any side. The picture itself is never changed.",
    keys: "Arrow keys move it, plus and minus zoom, 0 shows all of it.",
    picture: "The picture.",
    whole: "All of it",
    larger: "Larger",
    smaller: "Smaller",
    undo: "Undo",
    redo: "Redo",
    stop: "Stop",
    steps: {
      rim: "Rim",
      ruler: "Ruler",
      over: "Two pictures",
      light: "Side light",
      hints: "Hints",
      sides: "Both sides",
      mat: "Many coins",
    },
    stepsLabel: "What to do with the picture",
    backToFind: "Back to the find",
    noFind: "From a find’s photo what is measured is kept with the find. Here it is only looked at.",
    choose: "Choose a photo",
    another: "Another picture",
    gone: "This find isn’t on this device. Nothing is lost; open it from the list.",
    photoGone: "The photo can’t be had now. It is on the laptop; join it, then open this again.",

    troubles: {
      "too-big": "This file is over 25 MB, so it isn’t opened. Nothing is lost; choose a smaller one.",
      "not-a-photo": "This isn’t a JPEG, PNG or WebP picture. Nothing is lost; choose another file.",
      "too-many-pixels":
        "This picture is over 40 megapixels, more than a phone can hold at once. Nothing is lost; make it smaller and choose it again.",
      unreadable: "This picture is broken or cut off and can’t be read. Nothing is lost; take it again.",
      insecure:
        "This needs the laptop’s encrypted address. Nothing is lost; open the app with the code on the laptop.",
    },

    rim: {
      hint: "The coin’s edge gives the picture its millimeters.",
      seek: "Find the rim",
      again: "Find it again",
      seeking: "Looking for the rim …",
      found: (covered: string) => `Rim found; an edge is seen along ${covered} of it.`,
      byHand: "Rim set by hand.",
      handHint:
        "Three points hold it. Drag each onto the coin’s outermost edge; the arrow keys move one too.",
      check: "Another outline is nearly as good: look whether this one lies on the outermost edge.",
      screen:
        "This seems to be a photo of a screen: its pixels make a grid all over the coin. What is measured here is the screen’s picture; photograph the coin itself.",
      setByHand: "Set it by hand",
      handle: (n: number) => `Point ${n} of the rim`,
      diameter: "Diameter, mm",
      byBook: (mm: string, coin: string) => `${figure(mm)}\u00a0mm by the coin book: ${coin}.`,
      unsure: "Coins of this denomination differ in size. Give the find its year, or type the diameter.",
      noCoin: "Which coin it is isn’t known, so neither is its size. Type the diameter.",
      keep: "Keep this rim with the find",
      kept: "This rim is kept with the find.",
      refusals: {
        none: "No coin’s outline was found. Lay the coin on plain paper, all of it in the picture, or set the rim by hand.",
        two: "More than one coin is in the picture. Tap the one you mean, photograph one alone, or set the rim by hand.",
        "cut-off":
          "Part of the coin is outside of the picture. Take it again from farther away, or set the rim by hand.",
        doubt:
          "Too little of the edge is seen to be trusted. Change light or ground, or set the rim by hand.",
        blurred: "The edge is smeared. Hold the camera still and take it again, or set the rim by hand.",
        small: "The coin has too few pixels here. Take it from nearer.",
        "in-one-line":
          "The three points lie in one line, so no rim goes through them. Spread them around the coin.",
        stopped: "Stopped. The rim wasn’t looked for any further; nothing else has changed.",
        left: "Stopped when the page was left. Nothing is lost.",
        failed:
          "The program for pictures couldn’t be had or broke down. Nothing is lost; try again, or set the rim by hand.",
      },
    },

    ruler: {
      hint: "Begin a ruler, then put its points where they belong. Zoom in for single pixels.",
      needsRim:
        "Without a rim and a diameter there are no millimeters. Find the rim first; a close-up without one is scaled there, too.",
      begin: { line: "Length", step: "Step", angle: "Angle", area: "Area" },
      beginHints: {
        line: "from one point to the other",
        step: "how far the third point stands off the line through the first two",
        angle: "at the second point",
        area: "within the points",
      },
      none: "No ruler lies on the picture.",
      name: (kind: string, n: number) => `${kind} ${n}`,
      point: (ruler: string, n: number) => `${ruler}, point ${n}`,
      share: (p: string) => `${percent(p)} of the face`,
      about95: "± holds about 95 times in 100: rim, pixels and hand together.",
      more: "One corner more",
      fewer: "One corner fewer",
      drop: "Remove",
      keep: "Keep with the find",
      kept: "Kept with the find",
      byEye: "Answered by eye",
      asked: "The verdict asks",
      layOn: "Measure it",
      use: "Use it for the verdict",
      used: "In the verdict",
      takeOut: "Take it out of the verdict",
      byMemory:
        "The book’s lengths for this are from memory. A coin that you know, measured the same way, stands in for them.",
      open: "The ruler leaves it open: the picture isn’t sharp or large enough, or the length lies between the two.",
      answered: (answer: string, odds: string) => `By the ruler: ${answer}, ${odds} to 1.`,
      verdict: "The verdict now",
    },

    camera: {
      forFind: "Live camera or microscope",
      title: "Camera",
      on: "Use a camera",
      starting: "Switching the camera on …",
      off: "Switch it off",
      live: "The camera’s live picture",
      freeze: "Take the picture",
      burst: "Take the sharpest of 8",
      bursting: (n: number, of: number) => `${n} of ${of} …`,
      which: "Camera",
      any: "the one at the back",
      nameless: (n: number) => `Camera ${n}`,
      sharp: (share: string) =>
        `Sharpness: ${share} of the best of the last seconds. Move nearer or farther until it peaks.`,
      keep: "Keep it with the find",
      discard: "Discard it",
      shows: "What it shows",
      troubles: {
        "not-encrypted":
          "This page has no encrypted address, so the browser keeps the camera from it. Open the app by the laptop’s secure address, or choose a photo.",
        none: "No camera is there, or the one that was picked is gone. Plug it in and try again, or choose a photo.",
        refused: "The camera was refused. Allow it for this page in the browser’s settings, then try again.",
        held: "Another program holds the camera, or it was unplugged. Close that program, then try again.",
        failed: "The camera didn’t start. Nothing is lost; try again, or choose a photo.",
      },
    },

    focus: {
      title: "Sharp all over, from several focus steps",
      hint: "Under a microscope only a part is sharp at once. Leave coin and camera still, turn the focus a little and add a step, from the lowest place to the highest. Then put them together.",
      add: "Add a step",
      put: (n: number) => (n < 2 ? "Put together" : `Put ${n} together`),
      forget: "Forget them",
      busy: "Putting them together …",
      refusals: {
        "too-few": "Two steps are needed at least.",
        sizes: "The steps differ in size. Forget them and take all with one camera.",
        slipped: "Coin or camera moved between the steps. Forget them and take them anew.",
        failed:
          "The program for pictures couldn’t be had or broke down. The steps are still there; try again.",
      },
    },

    over: {
      hint: "Another picture of the same design, laid over this one by the rim and then by the relief. The lamp may stand elsewhere.",
      with: "Which other picture",
      litPhotos: (n: number) => `${n} photos of side light`,
      how: "How the two are looked at",
      looking: {
        beside: "Beside",
        faded: "Faded",
        blink: "Blinking",
        difference: "Difference",
        mirrored: "Other side, mirrored",
      },
      otherLabel: "The other picture.",
      reference: (side: string) => `My reference, ${side}`,
      strength: "Strength",
      turn: "Turned by",
      mirroredHint:
        "A clash leaves the other side’s design, mirrored, in the fields. Lay the other side over this one, turn it, and compare outlines.",
      laying: "Laying one over the other …",
      laid: (degrees: string, u: string) =>
        `Laid over; the other was turned by ${figure(degrees)}° ±\u00a0${figure(u)}°.`,
      notAlike:
        "The lamp stood elsewhere, so a difference would show the lamp and not the coins. Take both under one light, or look at them faded.",
      rough: "The lamp stood too differently to lay it finer: places may be off by some pixels.",
      byRims: "Laid by the two rims alone.",
      again: "Try again",
      makeReference: "Keep as my reference for this type and side",
      isReference: "This is your reference for the type and side.",
      refusals: {
        "no-rim": "One of the two has no rim. Find it, or set it by hand, then try again.",
        "too-small": "One of the pictures has too few pixels of the coin. Take it from nearer.",
        flat: "There is too little relief in one of them to lay it by. Turn the lamp to the side and take it again.",
        "no-fit":
          "They don’t fit: another design or side, or too much differs. Nothing is shown over the other.",
        ambiguous: "They fit about as well at two turns, so neither is shown. Take a sharper picture.",
        stopped: "Stopped. Nothing has changed.",
        left: "Stopped when the page was left. Nothing is lost.",
        failed: "The program for pictures couldn’t be had or broke down. Nothing is lost; try again.",
      },
    },

    light: {
      hint: "Four photos of the coin, which must not move, with the lamp on four sides. From them comes its shape without its color, to be lit from anywhere. A small doubling shows there that no single photo tells.",
      sides: ["Lamp at the right", "Lamp at the top", "Lamp at the left", "Lamp at the bottom"],
      lead: [
        "Hold the lamp low at the right of the coin, then take the picture. Don’t touch coin or camera.",
        "Now the lamp low at the top.",
        "Now at the left.",
        "Last, at the bottom.",
      ],
      now: "now",
      later: "then",
      again: "Again",
      take: "Take the picture",
      choose: (left: number) => `Or choose photos: ${left} left, in this order`,
      making: "Working the shape out …",
      make: "Work it out again",
      relief: "The coin’s shape under the light you hold.",
      pad: "Light: drag it around, or move it with the arrow keys. In the middle it stands above the coin, at the edge beside it.",
      boost: "Steepness",
      shape:
        "Strike doubling looks much like a doubled die in such a picture. It shows a shape, never what made it.",
      refusals: {
        "no-rim":
          "No coin’s outline was found in the first photo. Lay the coin on plain paper, all of it in the picture, and take them anew.",
        "too-few": "Four photos are needed, one for each side of the lamp.",
        "too-many": "That is more photos than can be put together.",
        sizes:
          "The photos differ in size, so they aren’t of one camera that stood still. Take all of them anew.",
        "one-sided": "The lamp didn’t go around the coin. Take one photo for each side.",
        dark: "One of the photos is too dark. Take it again with more light.",
        glare: "One of the photos is white for the most part. Take it again with less light.",
        slipped:
          "Coin or camera moved between the photos by more than can be made up for. Fix both and take all four anew.",
        astray: "One of the photos isn’t turned as the disc says. Take it again.",
        stopped: "Stopped. The photos are still there.",
        left: "Stopped when the page was left. Nothing is lost.",
        failed: "The program for pictures couldn’t be had or broke down. Nothing is lost; try again.",
      },
    },

    mat: {
      hint: "Spread coins of one size on a plain table, none on top of another, and take them from straight above. Each is found, counted and numbered, row by row.",
      count: "Count the coins",
      again: "Try again",
      counting: "Looking for the coins …",
      telling: "Telling them apart …",
      found: (n: number) => (n === 1 ? "1 coin" : `${n} coins`),
      teach:
        "Tap a coin on the picture or in the list and say what it is; those like it follow. Sides take at least one coin of each, and two of each do better. Color is no proof of the metal: weigh what you pick up.",
      list: "The coins by number",
      coin: (n: number) => `Coin ${n}`,
      taught: "said by you",
      color: "Color",
      colors: { red: "red", brown: "brown", white: "white", grey: "gray" },
      side: "Side up",
      sides: { heads: "heads", tails: "tails" },
      pick: "To be picked up",
      up: "Side that must lie up",
      acts: { "pick-up": "pick up", turn: "turn over", look: "unsure, look yourself", leave: "leave" },
      todo: { "pick-up": "To pick up", turn: "To turn over", look: "Unsure, to look at yourself" },
      refusals: {
        none: "No coins of one size were found. Spread them on a plain table, all of them in the picture, and take it again.",
        small: "The picture has too few pixels to count coins in. Take a larger one.",
        "not-there": "No coin was found at that place. Tap one that has a number.",
        stopped: "Stopped. What was counted and said before still stands.",
        left: "Stopped when the page was left. Nothing is lost.",
        failed: "The program for pictures couldn’t be had or broke down. Nothing is lost; try again.",
      },
    },
  },
};
