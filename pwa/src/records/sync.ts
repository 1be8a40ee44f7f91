import { type Signal, signal } from "@preact/signals";
import { noCoreHere } from "../core/client";
import type {
  Doing,
  Ended as EndedWith,
  SyncOccasion,
  SyncRequest,
  SyncStep,
  WantedPhoto,
} from "../core/sync";
import type { Answered, Exchange } from "../laptop/api";
import { StoreFault, type StoreTrouble } from "./db";
import { CoreRefusal, type Journal } from "./journal";
import { type Found, look } from "./sync-store";

export type Ended = EndedWith<StoreTrouble>;

/** One request to the laptop; null when no answer came. */
export type Ask = (...request: Parameters<Exchange>) => Promise<Answered | null>;

export interface SyncOptions {
  journal: Journal;
  ask: Ask;
  now(): number;
  /** Gets a round for this page alone, and how to let go of it; null when another page has one now. */
  alone?(): Promise<(() => void) | null>;
  /** Share of the storage that is used, 0 to 1; null when the browser doesn't say. */
  fullness?(): Promise<number | null>;
}

type Away = Extract<SyncStep, { do: "alone" | "ask" }>;
type Here = Extract<SyncStep, { do: "read" | "store" }>;

/**
 * Does what the core's sync says: requests, the store, waiting. What goes when,
 * and what an answer means, is the core's (internal/sync).
 */
export class Sync {
  readonly doing: Signal<Doing> = signal({ is: "nothing" });
  readonly ended: Signal<Ended> = signal({ is: "never" });
  /** What the laptop doesn't take, in its own words; empty if there is nothing. */
  readonly leftOver: Signal<string> = signal("");
  /** Photos that should be on the laptop and aren't, as it last said. */
  readonly wanted: Signal<WantedPhoto[]> = signal([]);
  /** Photos that the laptop has and hasn't read back from its disk yet. */
  readonly unread: Signal<number> = signal(0);
  /** Entries that the laptop sent and this app can’t read. */
  readonly unreadable: Signal<number> = signal(0);

  private o: SyncOptions;
  private started = false;
  private running: Promise<void> | null = null;
  private again = false;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private letGo: (() => void) | null = null;

  constructor(options: SyncOptions) {
    this.o = options;
  }

  /** Lets rounds begin, with one now; resolves when that has ended. */
  start(): Promise<void> {
    this.started = true;
    return this.tell({ why: "start" });
  }

  stop(): void {
    if (!this.started) return;
    this.started = false;
    clearTimeout(this.timer);
    void this.tell({ why: "stop" });
  }

  /** An occasion: the page came to the front, the network came back, something was written. */
  wake(): void {
    if (this.started) void this.tell({ why: "occasion" });
  }

  /** The laptop says how far its journal has grown. */
  async notice(cursor: string): Promise<void> {
    if (this.started) await this.tell({ why: "notice", cursor });
  }

  private async tell(occasion: SyncOccasion): Promise<void> {
    try {
      await this.o.journal.sync("sync-wake", occasion);
    } catch (cause) {
      this.ended.value = endOf(cause);
      return;
    }
    await this.goOn();
  }

  /** Does steps until the core says to wait; an occasion meanwhile has it look again. */
  private goOn(): Promise<void> {
    clearTimeout(this.timer);
    this.again = true;
    this.running ??= this.turns().finally(() => {
      this.running = null;
    });
    return this.running;
  }

  private async turns(): Promise<void> {
    while (this.again) {
      this.again = false;
      try {
        await this.turn();
      } catch (cause) {
        // Without a core nobody says when to go on; the next occasion does.
        this.ended.value = endOf(cause);
        this.doing.value = { is: "nothing" };
      } finally {
        this.letGo?.();
        this.letGo = null;
      }
    }
  }

  private async turn(): Promise<void> {
    let step = this.heard(await this.o.journal.sync("sync-next", { now: this.o.now() }));
    while (step.do !== "wait") {
      const out = step.do === "alone" || step.do === "ask" ? await this.away(step) : null;
      step = await this.here(step, out);
    }
    if (!step.until || !this.started) return;
    this.timer = setTimeout(() => void this.goOn(), Math.max(0, step.until - this.o.now()));
  }

  /** Takes what came of a step in and does those for the store, all before anything else is written. */
  private async here(first: Exclude<SyncStep, { do: "wait" }>, out: Found | null): Promise<SyncStep> {
    let step: SyncStep = first;
    try {
      return await this.o.journal.holding(async () => {
        let reply = out;
        for (;;) {
          reply ??= await this.stored(step as Here);
          step = await this.answer(reply);
          if (step.do !== "read" && step.do !== "store") return step;
          reply = null;
        }
      });
    } catch (cause) {
      if (cause instanceof CoreRefusal && cause.fault.code === noCoreHere) throw cause;
      return await this.answer({ reply: { step: first.id, failed: endOf(cause) } });
    }
  }

  private async stored(step: Here): Promise<Found> {
    try {
      if (step.do === "read") return await look(this.o.journal.db, step, this.o.fullness);
      await this.o.journal.keep(step.store);
      return { reply: { step: step.id } };
    } catch (cause) {
      return { reply: { step: step.id, failed: endOf(cause) } };
    }
  }

  private async away(step: Away): Promise<Found> {
    if (step.do === "alone") {
      const { alone } = this.o;
      this.letGo ??= alone ? await alone() : () => {};
      return { reply: { step: step.id, alone: this.letGo !== null } };
    }
    try {
      const answered = await this.request(step.ask);
      if (answered === "gone") return { reply: { step: step.id, gone: true } };
      if (!answered) return { reply: { step: step.id } };
      return { reply: { step: step.id, status: answered.status }, more: answered.bytes };
    } catch (cause) {
      return { reply: { step: step.id, failed: endOf(cause) } }; // the photo can't be read here
    }
  }

  private async request({ method, path, headers, part }: SyncRequest): Promise<Answered | "gone" | null> {
    if (!part) return this.o.ask(method, path, this.body, headers);
    const photo = await this.o.journal.photo(part.photo);
    if (!photo) return "gone";
    return this.o.ask(method, path, new Uint8Array(photo.bytes.slice(part.from, part.to)), headers);
  }

  /** Of the request that is to be sent. */
  private body: Uint8Array<ArrayBuffer> | undefined;

  private async answer({ reply, more }: Found): Promise<SyncStep> {
    return this.heard(await this.o.journal.sync("sync-answer", { now: this.o.now(), ...reply }, more));
  }

  private heard({ ok, bytes }: { ok: unknown; bytes?: ArrayBuffer }): SyncStep {
    const step = ok as SyncStep;
    this.body = bytes && new Uint8Array(bytes);
    this.doing.value = step.doing;
    if (step.shown) {
      const { ended, left_over, wanted, unread, unreadable } = step.shown;
      this.ended.value = ended as Ended;
      this.leftOver.value = left_over;
      this.wanted.value = wanted;
      this.unread.value = unread;
      this.unreadable.value = unreadable;
    }
    return step;
  }
}

function endOf(cause: unknown): Ended {
  if (cause instanceof StoreFault) return { is: "store", trouble: cause.trouble };
  if (cause instanceof CoreRefusal) {
    return { is: "refused", code: cause.fault.code, sentence: cause.fault.sentence };
  }
  return { is: "refused", code: "internal", sentence: "" };
}
