import { type Signal, signal } from "@preact/signals";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Speaker, silentAfterMs, staleWordsMs, type UtteranceLike, type VoiceLike } from "./speech";

const voice = (name: string, lang: string, localService = true): VoiceLike => ({
  name,
  lang,
  voiceURI: `voice:${name}`,
  localService,
});

class FakeSynth {
  said: UtteranceLike[] = [];
  cancelled = 0;
  voices = [
    voice("Zoë", "en-GB"),
    voice("far", "en-US", false),
    voice("Anna", "de-DE"),
    voice("Ann", "en_US"),
  ];
  onVoices = () => {};
  getVoices = () => this.voices;
  speak = (u: UtteranceLike) => void this.said.push(u);
  cancel = () => {
    this.cancelled++;
  };
  addEventListener = (_: "voiceschanged", act: () => void) => {
    this.onVoices = act;
  };
  last = () => this.said[this.said.length - 1];
}

let now = 0;
let synth: FakeSynth;
let speaker: Speaker;
let language: Signal<string>;
const plain = { rate: 1, voice: "" };
const words = () => synth.said.map((u) => u.text);

beforeEach(() => {
  vi.useFakeTimers();
  now = 0;
  synth = new FakeSynth();
  language = signal("en");
  speaker = new Speaker({
    synth,
    utterance: (text) => ({
      text,
      lang: "",
      rate: 1,
      voice: null,
      onstart: null,
      onend: null,
      onerror: null,
    }),
    now: () => now,
    language,
    forEar: String,
  });
});
afterEach(() => vi.useRealTimers());

describe("Speaker", () => {
  it("cuts older words short with newer ones", () => {
    speaker.say("Bronze cent.", plain);
    synth.last()?.onstart?.({});
    speaker.say("Zinc cent.", plain);
    expect(words()).toEqual(["Bronze cent.", "Zinc cent."]);
    expect(synth.cancelled).toBe(1);
    synth.said[0]?.onend?.({}); // the browser ends what was cut
    expect(words()).toHaveLength(2);
  });

  it("lets an important sentence be heard to its end, then says the newest that waits", () => {
    speaker.say("Number 1. Look.", { ...plain, important: true });
    speaker.say("Bronze cent.", plain);
    speaker.say("Zinc cent.", plain);
    expect(words()).toEqual(["Number 1. Look."]);
    now += staleWordsMs - 1;
    synth.last()?.onend?.({});
    expect(words()).toEqual(["Number 1. Look.", "Zinc cent."]);
  });

  it("drops what has waited too long", () => {
    speaker.say("Number 1. Look.", { ...plain, important: true });
    speaker.say("Bronze cent.", plain);
    now += staleWordsMs;
    synth.last()?.onend?.({});
    expect(words()).toEqual(["Number 1. Look."]);
    speaker.say("Zinc cent.", plain);
    expect(words()).toHaveLength(2);
  });

  it("doesn't drop an important sentence that waits for a lesser one", () => {
    speaker.say("Number 1. Look.", { ...plain, important: true });
    speaker.say("Number 2. Look.", { ...plain, important: true });
    speaker.say("Zinc cent.", plain);
    synth.last()?.onend?.({});
    expect(words()).toEqual(["Number 1. Look.", "Number 2. Look."]);
  });

  it("offers the voices of its language, those on the device first, also when they come late", () => {
    expect(speaker.voices.value.map((v) => v.name)).toEqual(["Ann", "Zoë", "far"]);
    synth.voices = [voice("Ben", "en-AU")];
    synth.onVoices();
    expect(speaker.voices.value.map((v) => v.name)).toEqual(["Ben"]);
  });

  it("speaks with the voice and at the pace that were chosen", () => {
    speaker.say("Bronze cent.", { rate: 1.6, voice: "voice:Zoë" });
    expect(synth.last()).toMatchObject({ rate: 1.6, lang: "en-GB", voice: { name: "Zoë" } });
    speaker.say("Bronze cent.", { rate: 1, voice: "voice:gone" });
    expect(synth.last()).toMatchObject({ rate: 1, lang: "en", voice: null });
  });

  it("notices a voice that never begins, and one that does after all", () => {
    speaker.say("Bronze cent.", plain);
    vi.advanceTimersByTime(silentAfterMs);
    expect(speaker.voice.value).toBe("missing");
    speaker.say("Zinc cent.", plain);
    synth.last()?.onstart?.({});
    expect(speaker.voice.value).toBe("heard");
    vi.advanceTimersByTime(10 * silentAfterMs);
    expect(speaker.voice.value).toBe("heard");
  });

  it("goes on after an error", () => {
    speaker.say("Number 1. Look.", { ...plain, important: true });
    synth.last()?.onerror?.({});
    speaker.say("Bronze cent.", plain);
    expect(words()).toHaveLength(2);
  });

  it("is missing where the browser has none, and says nothing", () => {
    const deaf = new Speaker({
      synth: null,
      utterance: () => ({}) as never,
      now: () => 0,
      language,
      forEar: String,
    });
    deaf.say("Bronze cent.", plain);
    expect(deaf.voice.value).toBe("missing");
  });

  it("speaks another language with its own voices, those of the place first, and says nothing without one", () => {
    language.value = "es-MX";
    expect(speaker.voices.value).toEqual([]);
    expect(speaker.voice.value).toBe("missing");
    speaker.say("Centavo de bronce.", plain);
    expect(words()).toEqual([]);
    synth.voices = [...synth.voices, voice("Paz", "es-ES"), voice("Lupe", "es_MX")];
    synth.onVoices();
    expect(speaker.voices.value.map((v) => v.name)).toEqual(["Lupe", "Paz"]);
    expect(speaker.voice.value).toBe("untried");
    speaker.say("Centavo de bronce.", plain);
    expect(synth.last()).toMatchObject({ text: "Centavo de bronce.", lang: "es-MX" });
    language.value = "en";
    expect(speaker.voices.value).toHaveLength(3);
  });

  it("tries where the browser lists no voices at all", () => {
    synth.voices = [];
    language.value = "es";
    speaker.say("Centavo de bronce.", plain);
    expect(synth.last()).toMatchObject({ text: "Centavo de bronce.", lang: "es" });
  });
});
