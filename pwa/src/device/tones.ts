import { type Signal, signal } from "@preact/signals";

/**
 * The tones of a sitting: the older of the two usual alloys, the one struck
 * today, a keeper, “look at this”, and “can’t tell”. They differ in pitch and in the
 * number and length of their notes, so that pitch alone needn't be told.
 */
export const tones = ["older", "newer", "keeper", "look", "unsure"] as const;
export type Tone = (typeof tones)[number];

interface Note {
  hz: number;
  /** Seconds from the tone's beginning. */
  at: number;
  /** Seconds. */
  long: number;
}

export const notes: Record<Tone, readonly Note[]> = {
  // One low, round note.
  older: [{ hz: 311, at: 0, long: 0.28 }],
  // Two short high ones.
  newer: [
    { hz: 784, at: 0, long: 0.09 },
    { hz: 784, at: 0.14, long: 0.09 },
  ],
  // One long high one.
  keeper: [{ hz: 932, at: 0, long: 0.6 }],
  // Three rising ones, and again.
  look: [0, 0.55].flatMap((again) => [
    { hz: 523, at: again, long: 0.13 },
    { hz: 659, at: again + 0.14, long: 0.13 },
    { hz: 1047, at: again + 0.28, long: 0.2 },
  ]),
  // A low one that falls.
  unsure: [
    { hz: 247, at: 0, long: 0.12 },
    { hz: 196, at: 0.14, long: 0.22 },
  ],
};

/** The same by vibration: milliseconds on and off in turn. */
export const shakes: Record<Tone, number[]> = {
  older: [140],
  newer: [45, 60, 45],
  keeper: [420],
  look: [220, 80, 220, 80, 220],
  unsure: [30, 60, 90],
};

/** The part of AudioContext that is used, so that tests can stand one in. */
export type SoundLike = Pick<
  AudioContext,
  "currentTime" | "destination" | "state" | "resume" | "createOscillator" | "createGain"
>;

/** Plays the tones. A browser lets it begin only at a tap, so start is called there. */
export class Tones {
  readonly able: Signal<boolean> = signal(true);
  private make: () => SoundLike;
  private sound: SoundLike | null = null;
  private end = 0;
  private playing: { stop(when?: number): void }[] = [];

  constructor(make: () => SoundLike) {
    this.make = make;
  }

  /** Gets ready, at a tap or when the page is back in front. */
  start(): void {
    try {
      this.sound ??= this.make();
      if (this.sound.state !== "running") this.sound.resume().catch(() => {}); // stays still until the next tap
    } catch {
      this.able.value = false;
    }
  }

  /** The newest tone only: what is still sounding of the one before is cut. */
  play(tone: Tone): void {
    const sound = this.sound;
    if (!sound) return;
    if (sound.state !== "running") sound.resume().catch(() => {});
    const from = sound.currentTime + 0.01;
    if (from < this.end) for (const o of this.playing) o.stop();
    this.playing = [];
    for (const n of notes[tone]) {
      const o = sound.createOscillator();
      const gain = sound.createGain();
      o.type = "triangle";
      o.frequency.value = n.hz;
      // Rises and falls softly, or it would click.
      gain.gain.setValueAtTime(0, from + n.at);
      gain.gain.linearRampToValueAtTime(0.5, from + n.at + 0.015);
      gain.gain.setValueAtTime(0.5, from + n.at + n.long - 0.03);
      gain.gain.linearRampToValueAtTime(0, from + n.at + n.long);
      o.connect(gain);
      gain.connect(sound.destination);
      o.start(from + n.at);
      o.stop(from + n.at + n.long);
      this.end = Math.max(this.end, from + n.at + n.long);
      this.playing.push(o);
    }
  }
}
