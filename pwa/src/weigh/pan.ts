import { batch, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Asks, PanMessage } from "../live/wire";

/**
 * Who holds the pan. Only the holder's taps count for the coin on it; the other
 * devices follow what the holder asks.
 */
export type PanState = { is: "free" } | { is: "mine" } | { is: "other"; name: string; role: string };

/** A change of hands that this device's person is told. */
export type PanNews =
  | { is: "mine"; from: string } // taken over from another
  | { is: "lost"; to: string } // another took it over
  | { is: "held"; by: string } // a tap here didn't count
  | { is: "free" }; // who held it has gone

export interface PanOptions {
  /** This device's id; null while it hasn't joined. */
  me(): string | null;
  /** false if there is no line to say it on. */
  say(message: object): boolean;
}

/**
 * A laptop that doesn't know of holders never says who holds the pan: then it
 * stays free and every device judges for itself, as without a line.
 */
export class Pan {
  readonly state: ReadonlySignal<PanState>;
  /** The holder's id; empty if nobody holds it. */
  readonly holder: Signal<string> = signal("");
  readonly news: Signal<PanNews | null> = signal(null);
  /** What the holder asks, for a device that follows; null while there is nothing to follow. */
  readonly followed: ReadonlySignal<Asks | null>;

  private held: Signal<PanState> = signal({ is: "free" });
  private asked: Signal<Asks | null> = signal(null);
  private options: PanOptions;
  private saidAsks = "";

  constructor(options: PanOptions) {
    this.options = options;
    this.state = this.held;
    this.followed = this.asked;
  }

  get watching(): boolean {
    return this.held.value.is === "other";
  }

  /** Takes the pan, also from another device. */
  take(asks: Asks | null): void {
    this.say("take", asks);
  }

  /** A tap that needs the pan. Tells whether it may count: not while another device holds it. */
  tap(asks: Asks | null): boolean {
    const now = this.held.peek();
    if (now.is === "other") {
      this.news.value = { is: "held", by: now.name };
      return false;
    }
    if (now.is === "free") this.say("take", asks, true);
    return true;
  }

  leave(): void {
    if (this.held.peek().is === "mine") this.say("leave", null);
  }

  /** What this device's person asks now; said once, and only by the holder. */
  asks(asks: Asks | null): void {
    if (this.held.value.is !== "mine" || !asks || JSON.stringify(asks) === this.saidAsks) return;
    this.say("ask", asks);
  }

  heard(m: PanMessage): void {
    const was = this.held.peek();
    const me = this.options.me();
    const now: PanState =
      m.holder === null
        ? { is: "free" }
        : m.holder.id === me
          ? { is: "mine" }
          : { is: "other", name: m.holder.name, role: m.holder.role };
    batch(() => {
      this.held.value = now;
      this.holder.value = m.holder?.id ?? "";
      this.asked.value = now.is === "other" ? m.asks : null;
      if (now.is === "mine" && was.is === "other") this.news.value = { is: "mine", from: was.name };
      if (now.is === "other" && was.is === "mine") this.news.value = { is: "lost", to: now.name };
      if (now.is === "free" && was.is === "other") this.news.value = { is: "free" };
    });
  }

  /**
   * A line is open, perhaps to a laptop that was started anew. Whom it takes for
   * the holder it tells; a pan that this device held it claims again.
   */
  opened(asks: Asks | null): void {
    this.saidAsks = "";
    if (this.held.peek().is === "mine") this.say("take", asks, true);
    else {
      batch(() => {
        this.held.value = { is: "free" };
        this.holder.value = "";
        this.asked.value = null;
      });
    }
  }

  private say(what: "take" | "leave" | "ask", asks: Asks | null, ifFree = false): void {
    const said = this.options.say({
      type: "pan",
      do: what,
      ...(ifFree ? { if_free: true } : {}),
      ...(asks ? { asks } : {}),
    });
    if (said && asks) this.saidAsks = JSON.stringify(asks);
  }
}
