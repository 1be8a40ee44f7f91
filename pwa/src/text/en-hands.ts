/** What hands-free weighing, the pan's holder and the ways onto the home screen say, in English. */
import { writing } from "./writing";

const { counted } = writing("en");
const minutes = (n: number) => counted(n, "minute", "minutes");
const keepers = (n: number) => counted(n, "keeper", "keepers");
const coins = (n: number) => counted(n, "coin", "coins");

export const handsTexts = {
  hands: {
    title: "Hands-free",
    open: "Hands-free",
    pick: "Tap the denomination you’re searching to start.",
    begin: (name: string) => `Begin with: ${name}`,
    beginHint:
      "Each coin is judged, announced and counted as it lands. Coins worth a look go on a list. No tapping needed.",
    began: (name: string) => `Hands-free: ${name}. Put a coin on the pan.`,
    went: "Hands-free has ended.",
    end: "End",
    mute: "Mute",
    unmute: "Sound on",
    again: "Say again",
    takeBack: "Take back",
    aside: "Set aside",
    change: (name: string) => `Denomination: ${name}`,
    options: "Voice, tones, pedal",
    waiting: "Put a coin on the pan.",
    lying: "The coin on the pan isn’t counted. Lift it, then start.",
    paused: (name: string) => `${name} is at the scale. Nothing is counted here.`,
    caption: "Last said",
    tally: "So far",
    summaryTitle: "This session",
    keepersTotal: keepers,
    toLookAt: (numbers: number[]) =>
      `${numbers.length} to look at: ${numbers.map((n) => `no. ${n}`).join(", ")}`,
    summaryFinds: "To the finds",
    countTitle: "Counted",
    total: coins,
    none: "Nothing is counted yet.",
    missed: (n: number) => `${coins(n)} lifted too soon`,
    unseen: (n: number) => `${coins(n)} missed: connection lost`,
    noted: "date not read",
    keepKind: (label: string) => `Set aside each: ${label}`,
    reset: "Reset to zero",
    resetDone: "The counts are back to zero.",
    undo: "Undo",
    asideTitle: "Set aside",
    asideNone: "Nothing is set aside. Coins worth a look are listed here.",
    asideNumber: (n: number) => `No. ${n}`,
    remove: "Off the list",
    removeLabel: (n: number, words: string) => `Remove no. ${n}: ${words}`,
    early: "lifted too soon",
    byHand: "set aside by hand",
    isFind: "It is a find now.",
    full: "The list is full. Remove coins you’ve dealt with.",
    silent: {
      missing: "This device has no voice: read it here.",
      muted: "Muted: read it here.",
      off: "The voice is off: read it here.",
    },
    dark: "This browser can’t keep the screen on. Set a long screen time-out in the device’s settings.",
    noTones: "This browser can’t play tones.",
    said: {
      missed: "Lifted too soon. Weigh that one again.",
      unseen: (n: number) => `${coins(n)} missed. Weigh again.`,
      weighsAgain: "The scale is weighing again.",
      scaleBack: "The scale is back. It shows no weight yet.",
      summary: (s: { coins: number; minutes: number; keepers: number; aside: number[] }) =>
        [
          `${coins(s.coins)} in ${minutes(s.minutes)}`,
          s.keepers > 0 ? keepers(s.keepers) : "",
          s.aside.length > 0 ? `${s.aside.length} to look at` : "",
        ]
          .filter(Boolean)
          .join(", ")
          .concat("."),
      onlyCounted: "From now on these are only counted.",
      amended: (words: string) => `Now: ${words}`,
      takenBack: (words: string) => `Taken back: ${words}`,
      nothingToTakeBack: "There is nothing to take back.",
      asideByHand: (n: number) => `Set aside as number ${n}.`,
      nothingToSetAside: "There is no coin to set aside.",
    },
    /** What a voice would spell or swallow: “3.11 g”, “95 %”, “1942–1945”. */
    aloud: { grams: "grams", percent: "per cent", range: "to" },
    asideAs: (n: number) => `Number ${n}.`,
    keys: {
      title: "Hands-free keys",
      rows: {
        aside: "Set the last coin aside",
        again: "Say it again",
        takeBack: "Take the last count back",
        mute: "Sound off or on",
        end: "End hands-free",
      },
      pedalRow: "The pedal, set under “Voice, tones, pedal”",
      space: "Space",
    },
  },

  handsOptions: {
    title: "Voice, tones, pedal",
    voice: "Voice",
    voiceAuto: "Same as device",
    voiceNone: "This device has no English voice. Captions and tones still work.",
    rate: "Pace",
    rates: { "0.8": "slow", "1": "normal", "1.3": "brisk", "1.6": "fast", "2": "fastest" },
    say: "Say",
    says: { every: "Every coin", aside: "What is set aside", nothing: "Nothing" },
    tones: "Tones",
    toneNames: {
      older: "Older alloy: one low note",
      newer: "Alloy struck today: two high notes",
      keeper: "Keeper: one long high note",
      look: "Look at this: three rising, twice",
      unsure: "Can’t tell: a low one that falls",
    },
    play: (name: string) => `Play: ${name}`,
    tryVoice: "Hear the voice",
    trial: "Bronze cent.",
    shake: "Vibration",
    captions: "Large captions",
    pedal: "Pedal",
    pedalHint: "A pedal is a keyboard with one key. Choose what it does, then press it here once.",
    pedalSet: "Set the pedal’s key",
    pedalWait: "Press the pedal now …",
    pedalNone: "none set",
    pedalKey: (key: string) => `Key: ${key}`,
    pedalClear: "Forget the key",
    on: "On",
    off: "Off",
  },

  pan: {
    label: "The pan",
    holds: "at the scale",
    other: (name: string) => `${name} is at the scale.`,
    follows: (name: string) => (name ? `Asked there: ${name}.` : "This device watches."),
    takeOver: "Take over",
    news: {
      mine: (from: string) => `You’re at the scale now; ${from} watches.`,
      lost: (to: string) => `${to} has taken over the scale.`,
      held: (by: string) => `${by} is at the scale, so that tap was ignored.`,
      free: "The scale is free again.",
    },
  },

  layout: {
    hand: "Thumb keys for",
    hands: { right: "Right hand", left: "Left hand" },
  },

  install: {
    title: "On the home screen",
    done: "Panside is open as an app.",
    offer: "Install it on this device: it opens at once, full screen, even without the laptop.",
    act: "Install",
    taken: "Installing …",
    // The browsers' menus in words of their own; common practice, not checked on each device.
    steps: {
      ios: [
        "Open this page in the browser that came with the phone.",
        "Tap the share sign: a square with an arrow out of it.",
        "Choose to add it to the home screen.",
      ],
      android: [
        "Open the browser’s menu: the dots at the edge.",
        "Choose to install the app, or to add it to the home screen.",
      ],
      desktop: [
        "Look for the sign of a screen with an arrow at the end of the address bar.",
        "Or open the browser’s menu and choose to install the page as an app.",
      ],
    },
    trustFirst: "It can be installed once this device trusts the laptop’s certificate.",
  },

  shared: {
    label: "Shared photos",
    waiting: (n: number) => `${n} shared ${n === 1 ? "photo waits" : "photos wait"} for a find.`,
    drop: "Throw away",
    thrown: (n: number) =>
      `${n} shared ${n === 1 ? "photo is" : "photos are"} thrown away. The ones in your gallery stay.`,
  },
};
