import { benchTexts } from "./en-bench";
import { cameraTexts } from "./en-camera";
import { closeUpTexts } from "./en-close-up";
import { dialTexts } from "./en-dial";
import { findTexts } from "./en-finds";
import { handsTexts } from "./en-hands";
import { hintTexts } from "./en-hints";
import { keepTexts } from "./en-keep";
import { ringTexts } from "./en-ring";
import { scaleTexts } from "./en-scale";
import { sheetTexts } from "./en-sheets";
import { sidesTexts } from "./en-sides";
import { toolTexts } from "./en-tools";
import { trustTexts } from "./en-trust";
import { wantedTexts } from "./en-wanted";
import { writing } from "./writing";

const { number, counted, percent } = writing("en");

/**
 * Every word the app itself says, in English. Sentences about faults, verdicts
 * and coins come from the core and the server and are shown as they are.
 */

/** Like “about 40”: one or two leading digits, since more would claim too much. */
function rough(n: number): string {
  if (n >= 1_000_000) return "over a million";
  const digits = n >= 10 ? 1 : 2;
  return number(Number(n.toPrecision(digits)));
}

export const en = {
  language: "en",
  appName: "Panside",
  /** A share as per cent; near 0 and 1 it never claims certainty. */
  percent: (p: number) => (p > 0.995 ? "over 99%" : p < 0.005 ? "under 1%" : percent(Math.round(p * 100))),

  nav: {
    label: "Places",
    weigh: "Weigh",
    desk: "Phones",
    finds: "Finds",
    keepList: "Keepers",
    settings: "Settings",
    keyboard: "Keyboard shortcuts",
    practice: "Practice pan",
    tools: "Tools",
    toTop: "Back to the verdict",
    close: "Close",
    skip: "Skip to the verdict",
  },

  weight: {
    title: "Weight",
    none: "No weight",
    noNumber: "—",
    now: "live",
    old: (seconds: number) => `${seconds}\u00a0s old`,
    stale: "Not fresh",
    staleHint: "No new reading from the scale. Waiting.",
    readsTo: (grams: string) => `reads to ${grams}\u00a0g`,
    within: (grams: string) => `± ${grams}\u00a0g`,
    withinTitle: "expanded uncertainty, about 95%",
    assumed: "assumed",
    assumedHint: "Assumed from the scale’s smallest step. Check it with weights to measure it.",
    asGrams: (grams: string) => `${grams}\u00a0g`,
    onScale: (shown: string, unit: string) =>
      unit === "g" ? `scale: ${shown}` : `(scale: ${shown}\u00a0${unit})`,
  },

  typed: {
    title: "Typed weight",
    open: "Type a weight",
    openShort: "Type",
    back: "Back to the scale",
    next: "Next coin",
    pad: "Number pad",
    point: "Point",
    undo: "Undo the last digit",
    undoShort: "Undo",
    step: "Step",
    stepTitle: "The smallest step your scale shows. As typed: the last digit you give.",
    asTyped: "as typed",
    grams: (g: string) => `${g}\u00a0g`,
    none: "Type every digit the scale shows.",
    more: (n: number) => `${counted(n, "more digit", "more digits")}: zeros count too.`,
    between: (step: string) => `Not a step of ${step}\u00a0g. Check the last digit.`,
    zero: "That’s zero. Type the weight.",
    twoWays: (typed: string, decimal: string, whole: string) =>
      `“${typed}” can be ${decimal} or ${whole}. Type it as one of these.`,
    noVerdict: "The verdict comes when the weight is complete.",
    pick: "Tap a denomination below, then type the weight.",
  },

  phase: {
    none: "Waiting for the scale",
    empty: "Empty pan",
    moving: "Settling",
    settled: "Settled",
    over: "Overload",
    under: "Underload",
    withheld: "Put it on again",
  },

  phaseHint: {
    withheld: "No clear weight. Lift the coin and put it on again.",
    over: "Too heavy for this scale. Take it off.",
    under: "Below zero. Put the pan back, or tare the scale.",
  },

  line: {
    off: "Not connected",
    connecting: "Connecting …",
    open: "Connected",
    waiting: "No line to the laptop",
    lost: "Can’t reach the laptop. Nothing is lost; still trying.",
    lostHere:
      "This computer’s own server doesn’t answer; it may have been stopped. Nothing is lost; start Panside again and this page reconnects.",
    back: "Connected again.",
  },

  judge: {
    laptop: "Judged on the laptop because this phone couldn’t load the engine. Same answers.",
    laptopShort: "judged by the laptop",
    nobody: "Can’t judge this weight yet: the engine isn’t loaded and the laptop can’t be reached.",
    failed: "This weight couldn’t be judged. Nothing is lost; lift the coin and put it back.",
  },

  keys: {
    label: "Denomination",
    loading: "Loading the coin book …",
    others: "other coins",
    countries: "Keys below the scale",
    all: "Every coin in the book",
  },

  date: {
    label: "Year and mint, if you can read them",
    clear: "Clear",
    search: "Pin date",
    searching: "Pinned",
  },

  verdict: {
    title: "Verdict",
    lastCoin: "Last coin",
    before: "before it moved",
    provisional: "still settling",
    weighing: "Weighing …",
    putCoin: "Put a coin on the pan.",
    pick: "Tap a denomination below, then put a coin on the pan.",
    withheld: "No verdict on a weight that isn’t fresh.",
    withheldProblem: "No verdict without a weight.",
    withheldLoad: "No verdict without a clear weight.",
    retare: "No verdict on an overload or a negative reading.",
  },

  call: {
    ordinary: "Ordinary",
    keeper: "Keeper",
    either: "One of two",
    look: "Look closer",
    "cannot-tell": "Can’t tell",
  },

  tolerance: {
    title: "Tolerance",
    within: "Within the mint’s tolerance",
    below: "Below the mint’s tolerance",
    above: "Above the mint’s tolerance",
    inconclusive: "Too close to call",
    unpublished: "No published tolerance",
    belowWorn: "Below the tolerance of a new coin; wear explains it",
    conformity: (percent: string) => `Chance it is within tolerance: ${percent}`,
    nominal: "standard",
    limit: (low: string, high: string) => `${low} to ${high}\u00a0g`,
    offLow: "far below",
    offHigh: "far above",
    nominalFrom: "Standard weight",
    limitFrom: "Limit",
    grade: "Grade",
    piece: "This limit is for a single new coin. It doesn’t allow for wear.",
    batch:
      "This limit is for the average of a batch, not for a single coin. One coin outside it breaks no rule.",
    noLimit:
      "No limit is published for this coin, and none is made up. The band shows the standard weight only.",
    picture: (p: { weight: string; u: string; nominal: string; low: string; high: string }) =>
      `Weight ${p.weight} g, plus or minus ${p.u} g. Standard ${p.nominal} g. Limits ${p.low} to ${p.high} g.`,
    pictureNoLimit: (p: { weight: string; u: string; nominal: string }) =>
      `Weight ${p.weight} g, plus or minus ${p.u} g. Standard ${p.nominal} g. No published limits.`,
  },

  grades: {
    P: "primary text: law, regulation or mint",
    S: "reprint or report of the primary text",
    C: "computed from such figures",
    "common practice": "common practice, no published source",
    "from memory": "from memory, not checked against the text",
  },

  alloys: {
    title: "Alloys",
    /** Whose alloys they are, where another explanation stands above them. */
    of: (coin: string) => `Alloys of the ${coin}`,
    years: "years",
    best: (name: string, percent: string) => `${name}: ${percent}`,
  },

  explanations: {
    title: "What could explain it",
    expected: (grams: string) => `would weigh about ${grams}\u00a0g`,
    confirm: "To confirm",
    expert: "worth an expert’s look",
    likelier: (ratio: number) => `${rough(ratio)} times likelier than ordinary wear or damage`,
    equal: "about as likely as ordinary wear or damage",
    lessLikely: (ratio: number) => `${rough(1 / ratio)} times less likely than ordinary wear or damage`,
    support: {
      weak: "weak support",
      moderate: "moderate support",
      "moderately-strong": "moderately strong support",
      strong: "strong support",
      "very-strong": "very strong support",
    },
  },

  next: { title: "Next test" },

  inspect: {
    title: "What to inspect",
    first: "Look first",
    searched: (year: string) => (year ? `On every ${year}` : "On every coin"),
    none: "Tap a denomination to see what to inspect.",
    loading: "Looking it up …",
    empty: "Nothing particular is listed for this coin.",
    offline: "Can’t load the list right now.",
    count: (n: number) => counted(n, "point", "points"),
    date: "on this date",
    showMore: (n: number) => `Show ${n} more`,
    showFewer: "Show fewer",
    see: "You see",
    light: "Light",
    mimics: "Don’t confuse with",
    takenFor: "Often mistaken for",
    decides: "What decides",
    weight: "Weight",
    rarity: "Rarity",
    sure: "Source",
    explains: "Would explain the weight",
    besides: "Besides",
    lookAlike: "not a find",
    cautions: "Take care",
    sides: {
      obverse: "obverse",
      reverse: "reverse",
      edge: "edge",
      "whole coin": "whole coin",
      "both sides": "both sides",
      "either side": "either side",
    },
    rarities: {
      normal: "normal",
      common: "common",
      uncommon: "uncommon",
      scarce: "scarce",
      rare: "rare",
      "very rare": "very rare",
    },
    untranslated: "What isn’t translated yet is in English.",
  },

  tools: {
    eye: "Eye",
    loupe: "Loupe",
    microscope: "Microscope",
    magnet: "Weak magnet",
    scale: "Scale",
    calipers: "Calipers",
  },

  firstUse: {
    title: "First coin",
    steps: [
      "Tap the denomination you are searching.",
      "Put one coin on the pan. The verdict comes before the scale has settled.",
      "Lift it and put on the next. The denomination stays.",
    ],
    done: "Got it",
  },

  join: {
    joining: "Joining the laptop …",
    title: "This device hasn’t joined yet",
    phoneTitle: "On a phone",
    phoneSteps: [
      "Open Panside’s page on the laptop, or look at its terminal: there is a square code.",
      "Point the phone’s camera at the code and open the address it finds.",
      // The buttons' names are common practice, not checked on each device.
      "A security warning is expected the first time: your laptop made the certificate. Tap “Advanced” or “Show details”, then continue.",
    ],
    laptopTitle: "On the laptop itself",
    laptopSteps: ["Open the address that Panside prints in its terminal. It holds this laptop’s own code."],
    once: "Each code works once and only for a few minutes. If it has run out, get a new one.",
    expired:
      "This code has been used or has run out. Nothing is lost: get a fresh one on the laptop and scan it.",
    slow: "Several wrong codes came from this device. Nothing is lost: wait a minute, then try again.",
    left: "This device left the laptop. Your records are still here; scan a new code to rejoin.",
    tooMany:
      "Too many wrong codes were tried, so joining is closed. Open it again on the laptop and scan the fresh code.",
    unreachable:
      "The laptop can’t be reached. Check that this device is on the same network and Panside is running.",
    ended: "This device was removed on the laptop. Your records are still here; scan a new code to rejoin.",
    wrongServer:
      "This code belongs to another laptop or an older key. Get a fresh code on the laptop and scan it.",
    failed: "Joining didn’t work. Get a fresh code on the laptop and try again.",
    again: "Try again",
  },

  deviceNames: {
    iphone: "iPhone",
    ipad: "iPad",
    android: "Android phone",
    windows: "Windows laptop",
    mac: "Mac",
    linux: "Linux laptop",
    other: "Phone",
  },

  desk: {
    title: "Phones",
    offerTitle: "Let a phone in",
    offerHow: "Point the phone’s camera at this code. It works once.",
    qrAlt: "Square code with this laptop’s address and a one-time secret",
    warns: (address: string) =>
      `Phone shows a security warning? That’s expected: your laptop made the certificate. Tap “Advanced” or “Show details”, then continue. To stop the warning, open ${address} on the phone.`,
    address: "Address for the phone",
    left: (clock: string) => `A fresh code comes in ${clock}`,
    renew: "Show a new code",
    fetching: "Making a code …",
    offerFailed: "Couldn’t make a code. Trying again.",
    paused: "The code is hidden while this page is in the background.",
    closed:
      "Somebody tried too many wrong codes, so joining is closed. None of them let anyone in, and the phones that have joined go on.",
    closedHow:
      "Was it one of yours with an old code? Open it again. If you don’t know who it was, somebody on your network may be guessing: wait until you expect a phone.",
    openAgain: "Open joining again",
    openFailed: "Couldn’t open it. Try again.",
    compare:
      "Does a phone’s page ask you to compare four lines? These are the laptop’s. Every letter and digit must be the same.",
    phonesTitle: "Phones and browsers that have joined",
    noPhones: "No phone is among them yet.",
    lastSeen: "last seen",
    never: "not seen yet",
    justNow: "just now",
    minutes: (n: number) => counted(n, "minute ago", "minutes ago"),
    hours: (n: number) => counted(n, "hour ago", "hours ago"),
    days: (n: number) => counted(n, "day ago", "days ago"),
    thisOne: "this device",
    end: "Remove",
    endLabel: (name: string) => `Remove ${name}`,
    endAsk: (name: string) => `Remove “${name}”? It keeps its records but must scan a new code to rejoin.`,
    endYes: "Remove it",
    endNo: "Keep it",
    endFailed: "Couldn’t remove it. Try again.",
    listFailed: "Can’t load the list. Trying again.",
  },

  practice: {
    title: "Practice pan",
    intro: "No real scale is plugged in. These coins go on a virtual one.",
    pan: "On the pan",
    emptyPan: "Nothing",
    tray: "Tray",
    lift: "Lift",
    liftLabel: (name: string) => `Lift ${name}`,
    clear: "Clear the pan",
    handle: "Handle the scale",
    bump: "Bump the table",
    tare: "Tare",
    trouble: "Make trouble",
    unplug: "Pull the cable",
    plug: "Plug it in",
    garbage: "Send garbage",
    failed: "That didn’t reach the virtual scale. Try again.",
    grams: (g: string) => `${g}\u00a0g`,
  },

  offline: {
    change: {
      none: "A new version is ready.",
      changing: "Updating …",
      stuck:
        "The new version couldn’t take over yet. Close Panside’s other windows and tabs, then try again.",
    },
    take: "Update now",
    title: "Without the laptop",
    states: {
      waiting: "Saving the app on this device …",
      ready: "The app is saved on this device: it opens, and judges typed weights, with the laptop closed.",
      unsafe:
        "It doesn’t open with the laptop closed: this address isn’t encrypted. Open the one that begins with https.",
      untrusted:
        "It doesn’t open with the laptop closed: this device doesn’t trust the laptop’s certificate yet. The steps for that:",
      unable:
        "It doesn’t open with the laptop closed: this browser, or this kind of window, can’t store apps. Try a normal (not private) window.",
    },
    steps: "Trust this laptop",
  },

  settings: {
    title: "Settings",
    language: "Language / Idioma",
    sameLanguage: "Same as device",
    notRead: "Spanish hasn’t been read by a native speaker yet.",
    languageFailed: "That language couldn’t be loaded, so English is used. It is tried again next time.",
    theme: "Light or dark",
    themes: { auto: "Same as device", light: "Light", dark: "Dark" },
    shortcuts: "Keyboard shortcuts",
    shortcutsHint:
      "Single keys pick a denomination and more. Switch them off if they get in the way of speech input.",
    on: "On",
    off: "Off",
    device: "This device",
    name: "Name of this device",
    save: "Save",
    saved: "Saved.",
    saveFailed: "Couldn’t save the name. Try again.",
    laptop: "Laptop",
    key: "Its key",
    hints: "Show the first steps again",
    care: "Care",
    cares: [
      "Keep magnets away from pacemakers and from children. Never clean a find; keep acids and solvents away from it.",
      "Melting or exporting US cents and nickels is restricted (31 CFR Part 82); your own country’s rules apply to you.",
      "Don’t spend or sell a suspected counterfeit. Leave what a coin is worth, and whether it is genuine, to licensed or expert people.",
    ],
  },

  shortcuts: {
    title: "Keyboard",
    intro: "With a keyboard or a number pad:",
    rows: {
      denominations: "Pick a denomination, in their order",
      year: "Go to the year",
      clear: "Clear year and mint",
      hands: "Begin hands-free",
      keep: "Keep the coin as a find",
      type: "Type a weight: digits, Enter for the next coin, Esc for the scale",
      details: "Open or close the alloys",
      inspect: "Go to what to inspect",
      help: "This list",
      close: "Close a sheet",
    },
    off: "They are switched off in the settings.",
  },

  /** What the drawings show, by their names, where it isn’t English: that stands in the drawings. */
  drawings: {} as Record<string, string>,

  ...benchTexts,
  ...cameraTexts,
  ...closeUpTexts,
  ...dialTexts,
  ...handsTexts,
  ...hintTexts,
  ...keepTexts,
  ...ringTexts,
  ...scaleTexts,
  ...sheetTexts,
  ...sidesTexts,
  ...toolTexts,
  ...findTexts,
  ...trustTexts,
  ...wantedTexts,
};

/** What every language has to say. */
export type Text = typeof en;
