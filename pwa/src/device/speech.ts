import { effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";

/** The parts of the browser's speech synthesis that are used, so that tests can stand one in. */
export interface VoiceLike {
  name: string;
  lang: string;
  voiceURI: string;
  localService: boolean;
}
export interface UtteranceLike {
  text: string;
  lang: string;
  rate: number;
  voice: unknown;
  onstart: ((e: unknown) => void) | null;
  onend: ((e: unknown) => void) | null;
  onerror: ((e: unknown) => void) | null;
}
export interface SynthLike {
  getVoices(): VoiceLike[];
  speak(u: UtteranceLike): void;
  cancel(): void;
  addEventListener?(type: "voiceschanged", act: () => void): void;
}

export interface SpeakerOptions {
  /** null where the browser has none. */
  synth: SynthLike | null;
  utterance(words: string): UtteranceLike;
  now(): number;
  /** The language of the words, with its place: “es-MX”. */
  language: ReadonlySignal<string>;
  /** Writes out what a voice would spell or swallow. */
  forEar(words: string): string;
}

/** What is known of the voice: not tried yet, heard, or missing. */
export type Voice = "untried" | "heard" | "missing";

/** Words that couldn't begin within this time are about a coin that is gone. In ms. */
export const staleWordsMs = 2500;
/** A voice that hasn't begun by then is taken for missing. In ms. */
export const silentAfterMs = 4000;

export const rates = [0.8, 1, 1.3, 1.6, 2] as const;

/**
 * Says one sentence at a time, the newest only: what is being said is cut short
 * by newer words, except an important sentence, which is heard to its end; of
 * what waits meanwhile only the newest is said, and only while it is fresh.
 */
export class Speaker {
  readonly voice: Signal<Voice> = signal("untried");
  readonly voices: Signal<VoiceLike[]> = signal([]);
  private options: SpeakerOptions;
  private saying: { words: string; important: boolean } | null = null;
  private waiting: { words: string; important: boolean; since: number } | null = null;
  private watch: ReturnType<typeof setTimeout> | undefined;

  constructor(options: SpeakerOptions) {
    this.options = options;
    const { synth, language } = options;
    const look = () => {
      const all = synth?.getVoices() ?? [];
      const voices = voicesFor(all, language.value);
      this.voices.value = voices;
      // A list that is empty may only come late, or never; words are tried then.
      if (!synth || (all.length > 0 && voices.length === 0)) this.voice.value = "missing";
      else if (this.voice.peek() === "missing") this.voice.value = "untried";
    };
    effect(look);
    synth?.addEventListener?.("voiceschanged", look);
  }

  say(words: string, as: { rate: number; voice: string; important?: boolean }): void {
    if (!this.options.synth || words === "" || !this.speaks) return;
    const next = { words, important: as.important ?? false };
    if (this.saying?.important) {
      // An important sentence waits for an important one too, but isn't dropped for a lesser.
      if (!this.waiting?.important || next.important) this.waiting = { ...next, since: this.options.now() };
      return;
    }
    this.start(next, as);
  }

  /** A voice of another language would read the words as nobody could understand them. */
  private get speaks(): boolean {
    return this.voices.peek().length > 0 || this.options.synth?.getVoices().length === 0;
  }

  /** Says nothing more. */
  hush(): void {
    clearTimeout(this.watch);
    this.saying = null;
    this.waiting = null;
    this.options.synth?.cancel();
  }

  private start(next: { words: string; important: boolean }, as: { rate: number; voice: string }): void {
    const { synth } = this.options;
    if (!synth) return;
    if (this.saying) synth.cancel();
    this.saying = next;
    const u = this.options.utterance(this.options.forEar(next.words));
    const voice = this.voices.peek().find((v) => v.voiceURI === as.voice);
    u.rate = as.rate;
    u.lang = voice?.lang ?? this.options.language.peek();
    if (voice) u.voice = voice;
    const over = () => {
      if (this.saying !== next) return; // cut short by newer words
      clearTimeout(this.watch);
      this.saying = null;
      const waiting = this.waiting;
      this.waiting = null;
      if (waiting && this.options.now() - waiting.since < staleWordsMs) this.start(waiting, as);
    };
    u.onstart = () => {
      if (this.saying === next) clearTimeout(this.watch);
      this.voice.value = "heard";
    };
    u.onend = over;
    u.onerror = over;
    clearTimeout(this.watch);
    this.watch = setTimeout(() => {
      this.voice.value = "missing";
      synth.cancel();
      over();
    }, silentAfterMs);
    synth.speak(u);
  }
}

/** The voices that speak the words' language: those of the place first, then those on the device itself. */
function voicesFor(all: VoiceLike[], tag: string): VoiceLike[] {
  const wanted = plainTag(tag);
  const [language] = wanted.split("-");
  const ofPlace = (v: VoiceLike) => Number(plainTag(v.lang) === wanted);
  return all
    .filter((v) => plainTag(v.lang).split("-")[0] === language)
    .sort(
      (a, b) =>
        ofPlace(b) - ofPlace(a) ||
        Number(b.localService) - Number(a.localService) ||
        a.name.localeCompare(b.name),
    );
}

/** Some browsers write “en_US”. */
const plainTag = (tag: string): string => tag.replaceAll("_", "-").toLowerCase();
