import { text } from "../text";
import { Awake, type WakeLockLike } from "./awake";
import type { HandsDevices } from "./hands";
import { Speaker, type SynthLike, type UtteranceLike } from "./speech";
import { Tones } from "./tones";

/** What this browser can be heard and felt by. */
export function browserDevices(): HandsDevices {
  const synth = "speechSynthesis" in window ? (window.speechSynthesis as unknown as SynthLike) : null;
  const wakeLock = (navigator as { wakeLock?: WakeLockLike }).wakeLock ?? null;
  return {
    speaker: new Speaker({
      synth,
      utterance: (words) => new SpeechSynthesisUtterance(words) as unknown as UtteranceLike,
      now: () => performance.now(),
      language: text.language,
    }),
    tones: new Tones(() => new AudioContext()),
    awake: new Awake(wakeLock),
    shake: (pattern) => void navigator.vibrate?.(pattern),
  };
}
