import { type LocalStorage, storedSignal } from "../device/local-storage";
import { rates } from "../device/speech";

export const says = ["every", "aside", "nothing"] as const;
export type Says = (typeof says)[number];

/** What a pedal can do. */
export const pedalActs = ["aside", "again", "takeBack"] as const;
export type PedalAct = (typeof pedalActs)[number];

const flag = (usual: boolean) => (kept: unknown) => (typeof kept === "boolean" ? kept : usual);
const words = (kept: unknown) => (typeof kept === "string" ? kept : "");

/** The person's choices for hands-free weighing, kept on this device. */
export function handsPrefs(storage: LocalStorage) {
  return {
    mute: storedSignal<boolean>(storage, "panside.hands.mute", flag(false)),
    say: storedSignal<Says>(storage, "panside.hands.say", (k) => says.find((s) => s === k) ?? "every"),
    rate: storedSignal<number>(storage, "panside.hands.rate", (k) => rates.find((r) => r === k) ?? 1),
    /** A voice's address in the browser; empty for the device's own choice. */
    voice: storedSignal<string>(storage, "panside.hands.voice", words),
    tones: storedSignal<boolean>(storage, "panside.hands.tones", flag(true)),
    shake: storedSignal<boolean>(storage, "panside.hands.shake", flag(true)),
    /** Captions so large that they are read from across the table. */
    captions: storedSignal<boolean>(storage, "panside.hands.captions", flag(false)),
    /** The key that the pedal sends; empty if there is none. */
    pedalKey: storedSignal<string>(storage, "panside.hands.pedal", words),
    pedalDoes: storedSignal<PedalAct>(
      storage,
      "panside.hands.pedal-does",
      (k) => pedalActs.find((a) => a === k) ?? "aside",
    ),
  };
}

export type HandsPrefs = ReturnType<typeof handsPrefs>;
