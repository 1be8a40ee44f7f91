import { Awake, type WakeLockLike } from "../device/awake";
import { Speaker, type SynthLike, type UtteranceLike } from "../device/speech";
import { Tones } from "../device/tones";
import { locale } from "../text/writing";
import { forEar } from "./for-ear";
import type { HandsDevices } from "./hands";

/** What this browser can be heard and felt by. */
export function browserDevices(): HandsDevices {
  const synth = "speechSynthesis" in window ? (window.speechSynthesis as unknown as SynthLike) : null;
  const wakeLock = (navigator as { wakeLock?: WakeLockLike }).wakeLock ?? null;
  return {
    speaker: new Speaker({
      synth,
      utterance: (words) => new SpeechSynthesisUtterance(words) as unknown as UtteranceLike,
      now: () => performance.now(),
      language: locale,
      forEar,
    }),
    tones: new Tones(() => new AudioContext()),
    awake: new Awake(wakeLock),
    shake: (pattern) => void navigator.vibrate?.(pattern),
  };
}
