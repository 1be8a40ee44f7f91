import { keptSignal, type Shelf } from "../device/kept";
import { rates } from "../device/speech";

export const says = ["every", "aside", "nothing"] as const;
export type Says = (typeof says)[number];

/** What a pedal can do. */
export const pedalActs = ["aside", "again", "takeBack"] as const;
export type PedalAct = (typeof pedalActs)[number];

const flag = (usual: boolean) => (kept: unknown) => (typeof kept === "boolean" ? kept : usual);
const words = (kept: unknown) => (typeof kept === "string" ? kept : "");

/** The person's choices for hands-free weighing, kept on this device. */
export function handsPrefs(shelf: Shelf) {
  return {
    mute: keptSignal<boolean>(shelf, "panside.hands.mute", flag(false)),
    say: keptSignal<Says>(shelf, "panside.hands.say", (k) => says.find((s) => s === k) ?? "every"),
    rate: keptSignal<number>(shelf, "panside.hands.rate", (k) => rates.find((r) => r === k) ?? 1),
    /** A voice's address in the browser; empty for the device's own choice. */
    voice: keptSignal<string>(shelf, "panside.hands.voice", words),
    tones: keptSignal<boolean>(shelf, "panside.hands.tones", flag(true)),
    shake: keptSignal<boolean>(shelf, "panside.hands.shake", flag(true)),
    /** Captions so large that they are read from across the table. */
    captions: keptSignal<boolean>(shelf, "panside.hands.captions", flag(false)),
    /** The key that the pedal sends; empty if there is none. */
    pedalKey: keptSignal<string>(shelf, "panside.hands.pedal", words),
    pedalDoes: keptSignal<PedalAct>(
      shelf,
      "panside.hands.pedal-does",
      (k) => pedalActs.find((a) => a === k) ?? "aside",
    ),
  };
}

export type HandsPrefs = ReturnType<typeof handsPrefs>;
