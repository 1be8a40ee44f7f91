import { batch, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { fields, isNumber, list, number, words } from "../core/json";
import { readTold, type Told } from "../core/ring";
import { type LocalStorage, readStored } from "../device/local-storage";
import { type Microphone, type MicrophoneTrouble, type OpenMicrophone, troubleOf } from "./microphone";
import {
  type Heard,
  type RingEvidence,
  type RingRefusal,
  type Rung,
  Senses,
  type SensesWorker,
} from "./senses";

/** How many rings make an answer. */
export const ringsWanted = 3;

/** Coins of one known metal that were rung before; they stand for the evening. */
export interface KnownCoin {
  planchet: string;
  /** What it is called on the screen. */
  name: string;
  /** Of several, the means. */
  hz: number[];
  u: number;
  coins: number;
}

export type Listening =
  | { is: "off" }
  | { is: "starting" }
  | { is: "on" }
  | { is: "trouble"; why: MicrophoneTrouble };

export interface RungCoin {
  country: string;
  denomination: string;
}

/** How many known coins are taken together at most; and how far, relative, one may lie from them. */
const mostKnown = 20;
const sameKind = 0.12;
/** How long a known coin stands: it is of this evening's phone, place and fingers. */
const knownForMs = 8 * 3600_000;
const knownKey = "panside.rung-known";
/** Below this loudness a microphone that is on gives nothing at all. */
const nothingDb = -110;
/** How long nothing may come before it is said. */
const nothingForMs = 3000;

interface Deps {
  core: Pick<CoreClient, "call">;
  storage: LocalStorage;
  open: OpenMicrophone;
  worker: () => SensesWorker;
  now?: () => number;
}

/**
 * Rings one coin after another: the microphone is on from start until three rings are in, or
 * stop. No sound is kept; what remains of a ring is its frequencies.
 */
export class Ringing {
  readonly state: Signal<Listening> = signal({ is: "off" });
  readonly rings: Signal<Rung[]> = signal([]);
  /** Why the newest sound was no ring; null after one that was. */
  readonly refused: Signal<RingRefusal | null> = signal(null);
  /** How loud it is, dB of full scale. */
  readonly level = signal(-120);
  /** What the rings have in common; null before there are three. */
  readonly evidence: Signal<RingEvidence | null> = signal(null);
  /** The metals of the denomination, and what the ring tells. */
  readonly told: Signal<Told | null> = signal(null);
  /** The core's sentence where it refused. */
  readonly fault = signal("");
  readonly known: Signal<KnownCoin | null>;
  private deps: Deps;
  private now: () => number;
  private senses: Senses | null = null;
  private microphone: Microphone | null = null;
  private coin: RungCoin = { country: "US", denomination: "" };
  private turn = 0;
  private quietSince = 0;

  constructor(deps: Deps) {
    this.deps = deps;
    this.now = deps.now ?? Date.now;
    this.known = signal(this.keptKnown());
  }

  /** Asks where the metals of a denomination lie; another denomination is another coin. */
  async about(coin: RungCoin): Promise<void> {
    const other = coin.country !== this.coin.country || coin.denomination !== this.coin.denomination;
    this.coin = coin;
    if (other) this.again();
    await this.ask();
  }

  /** Switches the microphone on. */
  async start(): Promise<void> {
    this.stop();
    const mine = ++this.turn;
    batch(() => {
      this.again();
      this.state.value = { is: "starting" };
    });
    try {
      const senses = new Senses(
        this.deps.worker,
        (heard) => mine === this.turn && this.heard(heard),
        () => mine === this.turn && this.trouble("failed"),
      );
      this.senses = senses;
      const [microphone] = await Promise.all([
        this.deps.open(
          (samples) => mine === this.turn && this.state.peek().is === "on" && senses.hear(samples),
          () => mine === this.turn && this.trouble("held"),
        ),
        senses.ready(),
      ]);
      if (mine !== this.turn) {
        microphone.stop();
        return;
      }
      this.microphone = microphone;
      senses.listen(microphone.rate);
      this.quietSince = this.now();
      this.state.value = { is: "on" };
    } catch (cause) {
      if (mine === this.turn) this.trouble(troubleOf(cause));
    }
  }

  /** Switches it off; what was rung stays. */
  stop(): void {
    this.turn++;
    this.microphone?.stop();
    this.microphone = null;
    this.senses?.end();
    this.senses = null;
    if (this.state.peek().is !== "trouble") this.state.value = { is: "off" };
    this.level.value = -120;
  }

  /** Forgets the rings of this coin. */
  again(): void {
    batch(() => {
      this.rings.value = [];
      this.refused.value = null;
      this.evidence.value = null;
      this.fault.value = "";
    });
  }

  /** Takes the newest ring back. */
  takeBack(): void {
    batch(() => {
      this.rings.value = this.rings.value.slice(0, -1);
      this.evidence.value = null;
    });
    void this.ask();
  }

  /**
   * The coin that was rung is known to be of this metal, and stands for the evening. Another of
   * its kind is taken together with it: the more there are, the less each one's own tone counts.
   */
  keepAsKnown(planchet: string, name: string): void {
    const e = this.evidence.peek();
    if (!e) return;
    const k = this.known.peek();
    const joins =
      k?.planchet === planchet &&
      k.coins < mostKnown &&
      k.hz.length === e.hz.length &&
      k.hz.every((hz, i) => Math.abs((e.hz[i] ?? 0) / hz - 1) < sameKind);
    const coins = joins ? k.coins + 1 : 1;
    const hz = joins ? k.hz.map((hz, i) => Math.round(hz + ((e.hz[i] ?? hz) - hz) / coins)) : e.hz;
    this.setKnown({ planchet, name, hz, u: joins ? Math.max(k.u, e.u) : e.u, coins });
    this.again();
    void this.ask();
  }

  forgetKnown(): void {
    this.setKnown(null);
    void this.ask();
  }

  /** The ring as evidence of a coin holds it: the text of the core's object; empty before there is one. */
  asEvidence(): string {
    const e = this.evidence.value;
    return e ? JSON.stringify(this.asked(e)) : "";
  }

  private asked(e: RingEvidence) {
    const k = this.known.value;
    return {
      hz: e.hz,
      u: e.u,
      ...(k && { known: { planchet: k.planchet, hz: k.hz, u: k.u, coins: k.coins } }),
    };
  }

  private setKnown(k: KnownCoin | null): void {
    this.known.value = k;
    if (k) this.deps.storage.setItem(knownKey, JSON.stringify({ ...k, at: this.now() }));
    else this.deps.storage.removeItem(knownKey);
  }

  private keptKnown(): KnownCoin | null {
    const k = fields(readStored(this.deps.storage, knownKey));
    const [at, u] = [number(k.at), number(k.u)];
    const hz = list(k.hz).filter(isNumber);
    if (at === null || u === null || hz.length === 0 || !(this.now() - at < knownForMs)) return null;
    const coins = Math.min(Math.max(Math.round(number(k.coins) ?? 1), 1), mostKnown);
    return { planchet: words(k.planchet), name: words(k.name), hz, u, coins };
  }

  private trouble(why: MicrophoneTrouble): void {
    this.state.value = { is: "trouble", why };
    this.stop();
  }

  private heard(heard: Heard): void {
    const now = this.now();
    if (heard.level > nothingDb) this.quietSince = now;
    else if (now - this.quietSince > nothingForMs) {
      this.trouble("silent");
      return;
    }
    batch(() => {
      this.level.value = heard.level;
      const last = heard.refused.at(-1);
      if (last) this.refused.value = last;
      if (heard.rings.length > 0) {
        this.refused.value = null;
        this.rings.value = [...this.rings.value, ...heard.rings].slice(0, ringsWanted);
      }
    });
    if (heard.rings.length > 0 && this.rings.value.length === ringsWanted) void this.finish();
  }

  private async finish(): Promise<void> {
    const mine = this.turn;
    const together = await this.senses?.together(this.rings.value);
    if (mine !== this.turn || together === undefined) return;
    if (typeof together === "string") {
      batch(() => {
        this.rings.value = [];
        this.refused.value = together;
      });
      return;
    }
    batch(() => {
      this.evidence.value = together;
      this.stop();
    });
    await this.ask();
  }

  private async ask(): Promise<void> {
    const { country, denomination } = this.coin;
    if (!denomination) return;
    const e = this.evidence.value;
    const question = { country, denomination, ...(e && { ring: this.asked(e) }) };
    const answer = await this.deps.core.call("ring", question);
    if (country !== this.coin.country || denomination !== this.coin.denomination || e !== this.evidence.value)
      return;
    batch(() => {
      this.fault.value = "error" in answer ? answer.error.sentence : "";
      this.told.value = "ok" in answer ? readTold(answer.ok) : null;
    });
  }
}
