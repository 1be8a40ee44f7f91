/** What ringing a coin says, in English; a part of the texts in en.ts. */
import { writing } from "./writing";

/** As one of the tests beside a verdict. */
export const ringTest = {
  name: "Ring",
  short: "ring",
  steps: [
    "Balance the coin on a fingertip and tap its rim with a wooden stick, near the phone.",
    "Open “Ring it”: the phone listens, and three rings go into the verdict.",
  ],
  caution: "Over something soft: a dropped coin gets a dented edge. Don’t tap it with another coin.",
};

const { either } = writing("en");

const kilohertz = (hz: number) => `${(hz / 1000).toFixed(hz < 9950 ? 2 : 1)}\u00a0kHz`;

export const ringTexts = {
  ring: {
    loading: "Loading …",
    intro:
      "Silver rings lower and longer than clad. Balance the coin on the tip of a finger, hold it a hand’s width from the phone and tap its rim with something wooden, such as a pencil. Three taps, a second apart.",
    coin: "Coin",
    country: "Country",
    choose: "Choose …",
    listen: "Listen",
    listenAgain: "Ring another coin",
    stop: "Stop listening",
    starting: "Switching the microphone on …",
    on: "The microphone is on. Sound is worked out on this phone and never kept.",
    off: "The microphone is off.",
    count: (n: number, of: number) => `${n} of ${of} rings`,
    tapNow: "Tap the coin now.",
    tapMore: (left: number) => (left === 1 ? "Once more." : `Good. ${left} more.`),
    takeBack: "Take the last ring back",
    refusals: {
      click: "That was a knock; nothing rang on. Let the coin lie free on the fingertip and tap its rim.",
      voice: "That was a voice. Wait until it is quiet, then tap again.",
      music: "That was a steady tone, as music has. Turn it off, or ring where it is quiet.",
      "two-coins": "Two things rang at once. Ring one coin, and tap it with wood, not with a coin.",
      bounce:
        "The taps came too close together, as of a coin that bounces. Balance it on a fingertip, one tap a second.",
      clipped: "Too loud for the microphone. Hold the coin farther away, or tap more softly.",
      glass: "That rings too low or too long for a coin, as a glass does. Ring the coin alone.",
      faint:
        "Something was tapped, but the noise around it is louder. Hold the coin nearer, or go where it is quiet.",
      "too-few": "Not enough rings yet. Tap the coin again.",
      differ: "These rings aren’t of one coin. They were dropped; begin again with one coin.",
    },
    troubles: {
      "not-encrypted":
        "This page has no encrypted address, so the browser keeps the microphone from it. Open the app by the laptop’s secure address; until then use magnet, edge or scale.",
      none: "This device has no microphone. Use another phone, or magnet, edge and scale.",
      refused:
        "The microphone was refused. Allow it for this page in the browser’s settings, then tap “Listen” again.",
      held: "Another program holds the microphone. End the call or recording, then tap “Listen” again.",
      processed:
        "This browser filters speech out of the microphone and can’t be told not to, which changes a ring. Use another browser, or magnet, edge and scale.",
      silent:
        "The microphone is on, but no sound comes from it. Is it switched off or covered? Then tap “Listen” again.",
      failed: "Listening didn’t work. Nothing is lost; tap “Listen” again.",
    },
    answers: {
      told: (metal: string) => `It rings like ${metal}.`,
      "not-rung": "Not rung yet.",
      "one-metal": "Coins of this denomination are all of one metal here; there is nothing to tell by ear.",
      scale: "These can’t be told apart by ear: the scale tells.",
      "several-fit": (metals: string[]) =>
        `Can’t tell: ${either(metals)}. Weigh it, or ring a coin of known metal first.`,
      "none-fits": "It rings like none of these. Is it another coin, cracked, or held too tight?",
    },
    chances: "By ear alone",
    chance: (metal: string, percent: string) => `${metal}: ${percent}`,
    axis: "kHz",
    bandHint:
      "Each bar is where a metal’s tones lie, two standard deviations wide; the lines are what was heard.",
    lies: (metal: string, hz: number[]) => `${metal}: near ${hz.map(kilohertz).join(", ")}`,
    nowhere: (metal: string) => `${metal}: can’t be predicted`,
    heard: (hz: number[]) => `Heard: ${hz.map(kilohertz).join(", ")}.`,
    known: "A coin of known metal",
    knownHint:
      "Ring a coin first whose metal you know, and the answer for the others gets surer; with two or three more of its kind, surer still. They stand for this evening.",
    knownIs: (metal: string, coins: number) =>
      coins > 1 ? `Known coins: ${coins}, ${metal}.` : `Known coin: ${metal}.`,
    knownForget: "Forget the known coin",
    knownTake: (metal: string) => `I know this one is ${metal}`,
    use: "Use this for the verdict",
    used: "In the verdict of the coin you weighed last.",
    usedLater: "Kept for the verdict: put the coin on the pan, then tap “Same coin as before”.",
    takeOut: "Take it out of the verdict",
    toRing: "Ring it",
    told: (hz: number | null) => (hz === null ? "ring" : `ring: ${kilohertz(hz)}`),
    kilohertz,
  },
};
