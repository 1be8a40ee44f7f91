import { type Signal, signal } from "@preact/signals";
import { Refusal, unreachable } from "../laptop/api";
import { StoreFault, type StoreTrouble } from "./db";
import { CoreRefusal, type Journal } from "./journal";
import { PartSize } from "./part-size";
import { pull } from "./pull";
import { push } from "./push";
import { freePhotos, type PhotoProgress, sendPhotos } from "./send-photos";
import { answerWanted, type WantedPhoto } from "./wanted";

/** One request to the laptop; rejects with a Refusal. */
export type Exchange = (
  method: string,
  path: string,
  body?: string | Uint8Array<ArrayBuffer>,
  headers?: Record<string, string>,
) => Promise<Response>;

/** What the sync does now. */
export type Doing = { is: "nothing" } | { is: "entries" } | { is: "photos"; progress: PhotoProgress };

/**
 * How the last round ended: “away” when the laptop wasn't reached, which is no
 * fault; “store” when the phone's storage failed; “refused” with the laptop's
 * or the core's own sentence.
 */
export type Ended =
  | { is: "never" }
  | { is: "well"; at: number }
  | { is: "away" }
  | { is: "store"; trouble: StoreTrouble }
  | { is: "refused"; code: string; sentence: string };

export interface NightOptions {
  journal: Journal;
  exchange: Exchange;
  now(): number;
  /** Rounds of several pages one after the other; null when another page has a round now. */
  alone?<T>(act: () => Promise<T>): Promise<T | null>;
  /** Share of the storage that is used, 0 to 1; null when the browser doesn't say. */
  fullness?(): Promise<number | null>;
  random?(): number;
  /** Of one part of a photo, at most. */
  partBytes?: number;
}

const firstRetryMs = 3_000;
const lastRetryMs = 60_000;
const day = 24 * 3600 * 1000;
/** So long a photo stays here after the laptop has it, if there is room. */
const keepSentMs = 28 * day;
const crowded = 0.8;

/**
 * Brings phone and laptop together whenever there is an occasion: one round at
 * a time, and another right after if something came up meanwhile. Whatever
 * fails, nothing is lost: a round can be repeated from its start.
 */
export class NightSync {
  readonly doing: Signal<Doing> = signal({ is: "nothing" });
  readonly ended: Signal<Ended> = signal({ is: "never" });
  /** What the laptop doesn't take, in its own words; empty if there is nothing. */
  readonly leftOver: Signal<string> = signal("");
  /** Photos that should be on the laptop and aren't, as it last said. */
  readonly wanted: Signal<WantedPhoto[]> = signal([]);
  /** Photos that the laptop has and hasn't read back from its disk yet. */
  readonly unread: Signal<number> = signal(0);

  private o: NightOptions;
  private size: PartSize;
  /** How often in a row photos were waited for to be read back. */
  private waits = 0;
  private running: Promise<void> | null = null;
  private again = false;
  private failures = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private stopped = true;
  private cursorSeen = "";
  private freedAt = 0;

  constructor(options: NightOptions) {
    this.o = options;
    this.size = new PartSize(options.partBytes);
  }

  start(): Promise<void> {
    this.stopped = false;
    this.failures = 0;
    return this.round();
  }

  stop(): void {
    this.stopped = true;
    clearTimeout(this.timer);
  }

  /** An occasion: the page came to the front, the network came back, something was written. */
  wake(): void {
    this.failures = 0;
    void this.round();
  }

  /** The laptop says how far its journal has grown; that of this phone's own push is no news. */
  async notice(cursor: string): Promise<void> {
    if (cursor === this.cursorSeen) return;
    const { cursor: own } = await this.o.journal.marks().catch(() => ({ cursor: "" }));
    if (cursor === own) return;
    this.cursorSeen = cursor;
    this.wake();
  }

  /** One round, or the one that runs, with another behind it. */
  round(): Promise<void> {
    if (this.stopped) return Promise.resolve();
    clearTimeout(this.timer);
    if (this.running) {
      this.again = true;
      return this.running;
    }
    this.running = this.rounds().finally(() => {
      this.running = null;
      this.doing.value = { is: "nothing" };
    });
    return this.running;
  }

  private async rounds(): Promise<void> {
    do {
      this.again = false;
      try {
        const alone = this.o.alone ?? ((act) => act());
        const went = await alone(async () => {
          await this.once();
          return true;
        });
        if (went === null) {
          this.later(); // the other page's round may fail
          return;
        }
        this.failures = 0;
        this.ended.value = { is: "well", at: this.o.now() };
        const unread = this.unread.value;
        this.waits = unread > 0 ? this.waits + 1 : 0;
        if (unread > 0) this.later(this.waits - 1); // the laptop says so too, if a line is open
      } catch (cause) {
        this.ended.value = endOf(cause);
        this.later();
        return;
      }
    } while (this.again && !this.stopped);
  }

  private async once(): Promise<void> {
    const { journal, exchange } = this.o;
    const entries = () => {
      if (this.doing.value.is !== "entries") this.doing.value = { is: "entries" };
    };
    let refused = await push(journal, exchange, entries);
    let pulled = await pull(journal, exchange, entries);
    // Each of these makes another push right: what waited for a pull, what the
    // laptop has lost, and what must be written again. More than a few in a row
    // would be a fault; the next occasion goes on from here.
    for (let turn = 0; turn < 3; turn++) {
      if (refused.ids.size === 0 && !pulled.restart && !pulled.forked) break;
      refused = await push(journal, exchange, entries);
      if (!pulled.restart && !pulled.forked) break;
      pulled = await pull(journal, exchange, entries);
    }
    this.leftOver.value = refused.sentence;
    const tell = (progress: PhotoProgress) => {
      this.doing.value = { is: "photos", progress };
    };
    this.wanted.value = await answerWanted(journal, exchange);
    const { size } = this;
    const { now } = this.o;
    this.unread.value = await sendPhotos(journal, exchange, {
      size,
      now,
      onProgress: tell,
      goOn: () => !this.again,
    });
    await this.free();
  }

  private async free(): Promise<void> {
    const now = this.o.now();
    const full = ((await this.o.fullness?.()) ?? 0) > crowded;
    if (!full && Math.abs(now - this.freedAt) < day) return;
    this.freedAt = now;
    await freePhotos(this.o.journal, this.o.exchange, full ? now : now - keepSentMs);
  }

  private later(times = this.failures++): void {
    clearTimeout(this.timer);
    if (this.stopped) return;
    const wait = Math.min(lastRetryMs, firstRetryMs * 2 ** times);
    const spread = 0.75 + 0.5 * (this.o.random ?? Math.random)();
    this.timer = setTimeout(() => void this.round(), wait * spread);
  }
}

function endOf(cause: unknown): Ended {
  if (cause instanceof StoreFault) return { is: "store", trouble: cause.trouble };
  if (cause instanceof CoreRefusal) return { is: "refused", ...cause.fault };
  if (cause instanceof Refusal) {
    return cause.code === unreachable
      ? { is: "away" }
      : { is: "refused", code: cause.code, sentence: cause.sentence };
  }
  return { is: "refused", code: "internal", sentence: "" };
}
