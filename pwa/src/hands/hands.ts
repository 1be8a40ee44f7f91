import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Call } from "../core/types";
import type { Awake } from "../device/awake";
import type { LocalStorage } from "../device/local-storage";
import type { Speaker } from "../device/speech";
import { shakes, type Tone, type Tones } from "../device/tones";
import type { Clock } from "../live/age";
import { isStale } from "../live/age";
import type { WeightMessage } from "../live/wire";
import { text } from "../text";
import type { Shown } from "../weigh/live-verdict";
import type { PanControl } from "../weigh/pan-control";
import { type CountEvent, Counter, type Seen } from "./hands-counter";
import { type Kind, kindOf } from "./hands-kind";
import { type AsideCoin, type HandsCoin, HandsList } from "./hands-list";
import { type HandsPrefs, handsPrefs } from "./hands-prefs";
import { Sitting, type Summary } from "./hands-sitting";

export type { AsideCoin, HandsCoin } from "./hands-list";

/** What somebody who listens is told, each once. */
export type HandsEvent =
  | { is: "counted"; coin: HandsCoin }
  /** By the person, or because the coin turned out to be another kind; then it is counted anew at once. */
  | { is: "taken-back"; coin: HandsCoin }
  | { is: "set-aside"; coin: AsideCoin }
  | { is: "removed"; coin: AsideCoin };

/** What a caption may end with: the scale is heard again, the coin can be judged, the pan is empty. */
export type Reason = "line" | "coin" | "load";

/** What was said last, for the eye. */
export interface Caption {
  words: string;
  call: Call | null;
  /** As what the coin is counted that it is about. */
  kind: Kind | null;
  /** What it is about, if it is to end with that. */
  until: Reason | null;
  /** Tells one caption from the next with the same words. */
  n: number;
}

/** What of the device a sitting is heard and felt by. */
export interface HandsDevices {
  speaker: Speaker;
  tones: Tones;
  awake: Awake;
  shake(pattern: number[]): void;
}

export interface HandsDeps extends HandsDevices {
  storage: LocalStorage;
  clock: Clock;
  panControl: PanControl;
  /** Takes the pan, for what is asked now; false while another device holds it. */
  takePan(): boolean;
  /** A new id, its own for ever. */
  newId(): string;
}

/** So many coins can be taken back, one after the other. */
export const mostUndo = 30;
const mostTrace = 60;

/**
 * Hands-free weighing: each coin is judged as it lands, said, toned and counted,
 * and the next is awaited. What deserves a look goes on the set-aside list.
 */
export class HandsFree {
  /** The sitting goes on. Not kept: sound needs a tap to begin. */
  readonly on: Signal<boolean> = signal(false);
  /** It was asked for, and waits for the tap that begins it. */
  readonly offered: Signal<boolean> = signal(false);
  readonly prefs: HandsPrefs;
  readonly list: HandsList;
  readonly caption: Signal<Caption> = signal({ words: "", call: null, kind: null, until: null, n: 0 });
  /** Counting waits while another device holds the pan. */
  readonly paused: ReadonlySignal<boolean>;
  /** Why nothing is heard, although it should be; null if it is heard. */
  readonly silent: ReadonlySignal<"missing" | "muted" | "off" | null>;

  /** What the sitting that ended last came to, until it was read. */
  readonly summary: Signal<Summary | null> = signal(null);

  readonly devices: HandsDevices;
  private sitting: Sitting;
  private deps: HandsDeps;
  private counter: Counter | null = null;
  private listeners = new Set<(e: HandsEvent) => void>();
  private counted: HandsCoin[] = [];
  private heard: { placement: number; key: string } | null = null;
  private toldOf = new Set<string>();
  private withheld: number | null = null;
  private landed: { placement: number; at: number; trace: [number, number][] } | null = null;

  constructor(deps: HandsDeps) {
    this.deps = deps;
    this.devices = deps;
    this.prefs = handsPrefs(deps.storage);
    this.list = new HandsList(deps.storage);
    this.sitting = new Sitting(deps.clock.now().steady);
    this.paused = computed(() => deps.panControl.state.value.is === "other");
    this.silent = computed(() => {
      if (this.prefs.mute.value) return "muted";
      if (this.prefs.say.value === "nothing") return "off";
      return deps.speaker.voice.value === "missing" ? "missing" : null;
    });
  }

  /** Told of each coin that is counted or set aside; returns what ends it. */
  listen(listener: (e: HandsEvent) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** Begins, at a tap. name is the denomination's, message the newest of the line. */
  start(name: string, message: WeightMessage | null): void {
    if (!this.deps.takePan()) return;
    this.deps.tones.start();
    void this.deps.awake.keep();
    batch(() => {
      this.on.value = true;
      this.offered.value = false;
      this.summary.value = null;
      this.sitting = new Sitting(this.deps.clock.now().steady);
      this.begin(message);
      this.toldOf.clear();
      const lying = message && (message.phase === "settled" || message.phase === "moving");
      if (lying) this.say(text.hands.lying, null, "asked", { until: "load" });
      else this.say(text.hands.began(name), null, "asked");
    });
  }

  end(): void {
    if (!this.on.peek()) return;
    batch(() => {
      this.on.value = false;
      this.counter = null;
      this.deps.speaker.hush();
      const summary = this.sitting.summary(this.deps.clock.now().steady);
      this.summary.value = summary;
      if (summary) this.say(text.hands.said.summary(summary), null, "asked");
      else this.show(text.hands.went, null);
    });
    void this.deps.awake.letGo();
  }

  /** The pan came back to this device: what lies on it now was somebody else's. */
  begin(message: WeightMessage | null): void {
    this.counter = new Counter(message && seenOf(message));
    this.heard = null;
    this.landed = null;
    this.withheld = null;
  }

  /** The newest message, its age in ms, and the verdict on the glass. */
  take(message: WeightMessage, age: number, shown: Shown | null): void {
    if (!this.on.peek() || !this.counter || this.deps.panControl.state.peek().is === "other") return;
    if (message.problem || isStale(age)) return;
    if (message.phase === "empty") this.over("load");
    this.follow(message);
    this.tellWithheld(message);
    for (const e of this.counter.step(seenOf(message), shown)) this.act(e);
  }

  /** The page is back in front. */
  visible(): void {
    if (!this.on.peek()) return;
    this.deps.tones.start();
    void this.deps.awake.visible();
  }

  /** Says what happened beside the coins, such as a cable that came loose. */
  tell(words: string, until: Reason | null = null): void {
    if (this.on.peek()) this.say(words, null, "aside", { important: true, until });
  }

  /** What a caption was about is over: it ends, and is gone; false if another stands there. */
  over(reason: Reason): boolean {
    if (this.caption.peek().until !== reason) return false;
    this.show("", null);
    return true;
  }

  /** Other words for what a caption is about, in silence. */
  meanwhile(reason: Reason, words: string): void {
    const now = this.caption.peek();
    if (now.until === reason && now.words !== words) this.show(words, null, { until: reason });
  }

  again(): void {
    const { words, call, until, kind } = this.caption.peek();
    if (words) this.say(words, call, "asked", kind ? { until, kind } : { until });
  }

  takeBack(): void {
    const coin = this.counted.pop();
    if (!coin) {
      this.say(text.hands.said.nothingToTakeBack, null, "asked");
      return;
    }
    this.uncount(coin);
    this.say(text.hands.said.takenBack(coin.label), null, "asked");
  }

  /** Sets the coin counted last aside, though its weight is nothing to look at. */
  setAside(): void {
    const coin = this.counted.at(-1);
    if (!coin) {
      this.say(text.hands.said.nothingToSetAside, null, "asked");
      return;
    }
    const entry = this.put(coin, true);
    if (entry) this.say(text.hands.said.asideByHand(entry.number), coin.verdict.call, "asked");
  }

  remove(id: string): void {
    const coin = this.list.remove(id);
    if (!coin) return;
    this.sitting.removed(coin);
    this.emit({ is: "removed", coin });
  }

  undoRemove(): void {
    const coin = this.list.undoRemove();
    if (!coin) return;
    this.sitting.setAside(coin);
    this.emit({ is: "set-aside", coin });
  }

  /** Lets a tone be heard, in the options. */
  sample(tone: Tone): void {
    this.deps.tones.start();
    this.deps.tones.play(tone);
  }

  /** Lets the voice be heard, in the options. */
  trial(): void {
    const { rate, voice } = this.prefs;
    this.deps.speaker.say(text.handsOptions.trial, { rate: rate.value, voice: voice.value });
  }

  toggleMute(): void {
    const { mute } = this.prefs;
    mute.value = !mute.value;
    if (mute.value) this.deps.speaker.hush();
  }

  /** What a key does in a sitting; false if nothing. */
  key(key: string): boolean {
    const { pedalKey, pedalDoes } = this.prefs;
    if (pedalKey.value !== "" && key === pedalKey.value) {
      this.do(pedalDoes.value);
      return true;
    }
    const act = handsKeys[key];
    if (act) this.do(act);
    return !!act;
  }

  private do(act: HandsAct): void {
    const acts: Record<HandsAct, () => void> = {
      aside: () => this.setAside(),
      again: () => this.again(),
      takeBack: () => this.takeBack(),
      mute: () => this.toggleMute(),
      end: () => this.end(),
    };
    acts[act]();
  }

  private follow(m: WeightMessage): void {
    const now = this.deps.clock.now().steady;
    if (this.landed?.placement !== m.placement) this.landed = { placement: m.placement, at: now, trace: [] };
    if (m.mean_g !== null && this.landed.trace.length < mostTrace) {
      this.landed.trace.push([Math.round(now - this.landed.at), m.mean_g]);
    }
  }

  /** A load whose weight can't be told is said once, however often it is seen. */
  private tellWithheld({ phase, placement }: WeightMessage): void {
    if (phase === "empty") this.withheld = null;
    if (phase !== "withheld" || this.withheld === placement) return;
    this.withheld = placement;
    this.play("unsure");
    this.say(text.phaseHint.withheld, "cannot-tell", "aside", { important: true, until: "load" });
  }

  private act(e: CountEvent): void {
    switch (e.is) {
      case "heard": {
        // What deserves a look is told at rest only: a hand still on the pan weighs too.
        const kind = kindOf(e.shown);
        if ((kind.call === "ordinary" || kind.keeper) && !this.list.sets(kind))
          this.announce(e.shown, kind, null, "");
        return;
      }
      case "counted":
        this.count(e.shown, e.early, false);
        return;
      case "amended": {
        const last = this.counted.at(-1);
        if (last?.placement !== e.shown.placement) return; // it was taken back by hand
        const kind = kindOf(e.shown);
        if (last.kind === kind.key) {
          this.renew(last, e.shown);
          return;
        }
        this.counted.pop();
        this.uncount(last);
        this.count(e.shown, false, true);
        return;
      }
      case "reworded": {
        const last = this.counted.at(-1);
        if (last?.placement === e.shown.placement) this.renew(last, e.shown);
        return;
      }
      case "missed":
        this.list.missed();
        this.sitting.missed++;
        this.play("unsure");
        this.say(text.hands.said.missed, "cannot-tell", "every");
        return;
      case "unseen":
        this.list.unseen(e.coins);
        this.sitting.unseen += e.coins;
        this.say(text.hands.said.unseen(e.coins), "cannot-tell", "aside", { important: true });
        return;
    }
  }

  private count(shown: Shown, early: boolean, amended: boolean): void {
    if (shown.verdict.tally.again) {
      this.play("unsure");
      this.say(shown.verdict.spoken, "cannot-tell", "aside", { important: true });
      return;
    }
    const kind = kindOf(shown);
    const trace = this.landed?.placement === shown.placement ? [...this.landed.trace] : [];
    const coin: HandsCoin = {
      id: this.deps.newId(),
      placement: shown.placement,
      at: this.deps.clock.now().wall,
      question: shown.question,
      mean_g: shown.question.mean_g,
      u_g: shown.question.u_g,
      verdict: shown.verdict,
      kind: kind.key,
      label: kind.label,
      noted: kind.noted,
      early,
      trace,
    };
    this.counted.push(coin);
    if (this.counted.length > mostUndo) this.counted.shift();
    this.list.add(coin, kind);
    this.sitting.add(coin, kind);
    this.emit({ is: "counted", coin });
    const entry = this.list.sets(kind) ? this.put(coin, false) : null;
    this.announce(shown, kind, entry, amended ? "amended" : "");
  }

  /** The same kind after all, but weighed better or for another date. */
  private renew(coin: HandsCoin, shown: Shown): void {
    const { question, verdict } = shown;
    const better = { ...coin, question, verdict, mean_g: question.mean_g, u_g: question.u_g };
    this.counted[this.counted.length - 1] = better;
    this.list.renew(better);
    this.show(verdict.headline, verdict.call, { kind: kindOf(shown) });
  }

  /** Takes a count back, and what it brought with it. */
  private uncount(coin: HandsCoin): void {
    this.list.takeBack(coin);
    this.sitting.takeBack(coin);
    const entry = this.list.aside.value.find((a) => a.id === coin.id && !a.byHand);
    if (entry) this.remove(entry.id);
    this.emit({ is: "taken-back", coin });
  }

  private put(coin: HandsCoin, byHand: boolean): AsideCoin | null {
    const there = this.list.aside.value.some((a) => a.id === coin.id);
    const entry = this.list.put(coin, byHand);
    if (!entry) this.say(text.hands.full, "look", "aside", { important: true });
    else if (!there) {
      this.sitting.setAside(entry);
      this.emit({ is: "set-aside", coin: entry });
    }
    return entry;
  }

  /** Tone, vibration, voice and caption of one coin, once. */
  private announce(shown: Shown, kind: Kind, entry: AsideCoin | null, as: "amended" | ""): void {
    const before = this.heard;
    this.heard = { placement: shown.placement, key: kind.key };
    if (as === "" && before?.placement === shown.placement && before.key === kind.key && !entry) return;
    this.play(this.toneOf(kind));
    let words = shown.verdict.spoken;
    if (as === "amended") words = text.hands.said.amended(words);
    if (entry) words = `${text.hands.asideAs(entry.number)} ${words}`;
    // What can't be told any better is said in full once; from then on its tone is enough.
    const repeats =
      kind.noted || kind.call === "cannot-tell" || (kind.call === "either" && !this.list.sets(kind));
    if (repeats && as === "") {
      if (this.toldOf.has(kind.key)) {
        this.show(shown.verdict.headline, kind.call, { kind });
        return;
      }
      this.toldOf.add(kind.key);
      this.say(`${words} ${text.hands.said.onlyCounted}`, kind.call, "every", { kind });
      return;
    }
    this.say(words, kind.call, entry ? "aside" : "every", { important: entry !== null, kind });
  }

  /** What is set aside asks for a look, but a keeper is heard as one wherever it goes. */
  private toneOf(kind: Kind): Tone {
    if (kind.keeper) return "keeper";
    if (this.list.sets(kind)) return "look";
    return kind.tone === "look" ? "unsure" : kind.tone;
  }

  private play(tone: Tone): void {
    if (this.prefs.tones.value && !this.prefs.mute.value) this.deps.tones.play(tone);
    if (this.prefs.shake.value) this.deps.shake(shakes[tone]);
  }

  /** want: whether it is part of every coin, of what is set aside, or was asked for by a key. */
  private say(
    words: string,
    call: Call | null,
    want: "every" | "aside" | "asked",
    more: { important?: boolean; until?: Reason | null; kind?: Kind } = {},
  ): void {
    this.show(words, call, more);
    const { important = false } = more;
    const { say, mute, rate, voice } = this.prefs;
    if (mute.value || say.value === "nothing" || (say.value === "aside" && want === "every")) return;
    this.deps.speaker.say(words, { rate: rate.value, voice: voice.value, important });
  }

  private show(
    words: string,
    call: Call | null,
    { until = null, kind = null }: { until?: Reason | null; kind?: Kind | null } = {},
  ): void {
    this.caption.value = { words, call, kind, until, n: this.caption.peek().n + 1 };
  }

  private emit(e: HandsEvent): void {
    for (const l of this.listeners) l(e);
  }
}

export const handsActs = ["aside", "again", "takeBack", "mute", "end"] as const;
export type HandsAct = (typeof handsActs)[number];

/** Single keys in a sitting; a pedal's key is the person's own. */
export const handsKeys: Record<string, HandsAct> = {
  " ": "aside",
  r: "again",
  Backspace: "takeBack",
  m: "mute",
  Escape: "end",
};

const seenOf = (m: WeightMessage): Seen => ({ phase: m.phase, placement: m.placement, mean: m.mean_g });
