import { signal } from "@preact/signals";
import { type Joining, type Offer, Refusal } from "../../laptop/api";

/** A code is renewed this long before it ends, so that one being scanned still works. */
export const renewBeforeS = 20;
export const retryMs = 5000;
export const lookEveryMs = 5000;

export interface OfferingApi {
  offer(address: string, by: "page" | "person"): Promise<Offer>;
  joining(): Promise<Joining>;
}

/**
 * Keeps a fresh code while the page is in front and joining is open. Where
 * wrong codes have closed it, it stays closed until a person opens it.
 */
export class Offering {
  readonly offer = signal<Offer | null>(null);
  /** When the next code comes, by the clock. */
  readonly endsAt = signal(0);
  readonly failed = signal(false);
  readonly joining = signal<Joining>({ closed: false, authority_lines: [], run: "" });
  /** The laptop’s address that the code leads to; empty for the usual one. */
  readonly address = signal("");
  private readonly api: OfferingApi;
  private readonly clock: () => number;
  private renewal: ReturnType<typeof setTimeout> | undefined;
  private looks: ReturnType<typeof setInterval> | undefined;
  /** Counts what was begun, so that an answer that comes late isn’t used. */
  private turn = 0;
  private asking = false;

  constructor(api: OfferingApi, clock: () => number = () => performance.now()) {
    this.api = api;
    this.clock = clock;
  }

  start(): void {
    this.stop();
    void this.look();
    void this.ask("page");
    this.looks = setInterval(() => void this.look(), lookEveryMs);
  }

  /** A code isn’t left standing on a page that nobody looks at. */
  stop(): void {
    clearInterval(this.looks);
    this.drop();
  }

  choose(address: string): void {
    this.address.value = address;
    void this.ask("page");
  }

  /** Another code in place of this one, such as one that somebody has used. */
  renew(): void {
    void this.ask("page");
  }

  /** A person asks for a code, which opens joining where it was closed. */
  open(): Promise<void> {
    return this.ask("person");
  }

  private drop(): void {
    this.turn++;
    this.asking = false;
    clearTimeout(this.renewal);
    this.offer.value = null;
  }

  /** The code goes; it is asked for again soon. */
  private lost(): void {
    this.drop();
    this.failed.value = true;
    this.renewal = setTimeout(() => void this.ask("page"), retryMs);
  }

  private async ask(by: "page" | "person"): Promise<void> {
    clearTimeout(this.renewal);
    const mine = ++this.turn;
    this.asking = true;
    let wait = retryMs;
    try {
      const o = await this.api.offer(this.address.value, by);
      if (mine !== this.turn) return;
      this.asking = false;
      const freshS = o.expires_in_s - renewBeforeS;
      this.offer.value = o;
      this.endsAt.value = this.clock() + 1000 * freshS;
      this.failed.value = false;
      this.joining.value = { ...this.joining.value, closed: false, run: o.run };
      wait = Math.max(retryMs, 1000 * freshS);
    } catch (cause) {
      if (mine !== this.turn) return;
      this.asking = false;
      this.offer.value = null;
      this.failed.value = true;
      if (cause instanceof Refusal && cause.code === "too-many-tries") {
        this.failed.value = false;
        this.joining.value = { ...this.joining.value, closed: true };
      }
      if (this.joining.value.closed) return;
    }
    this.renewal = setTimeout(() => void this.ask("page"), wait);
  }

  private async look(): Promise<void> {
    // Whether it is answered before or after the asking, nobody could tell.
    if (this.asking) return;
    const mine = this.turn;
    const { closed: before, run } = this.joining.value;
    let now: Joining;
    try {
      now = await this.api.joining();
    } catch {
      // A server that is away may come back as another run, which refuses the code.
      if (mine === this.turn && this.offer.value) this.lost();
      return;
    }
    if (mine !== this.turn) {
      // What it says of closing may be older than what was learnt meanwhile.
      this.joining.value = { ...now, closed: this.joining.value.closed };
      return;
    }
    this.joining.value = now;
    // What failed concerned what was then.
    if (now.closed !== before) this.failed.value = false;
    // A code of before lets nobody in any more.
    if (now.closed) this.drop();
    else if (before || (run && now.run !== run)) void this.ask("page");
  }
}
