import { signal } from "@preact/signals";
import { readKept, type Shelf } from "../device/kept";
import { originsIn, type Proof, type Prover, prove } from "./proof";

/**
 * Where this device's server is now. A browser keeps records by origin, so the
 * page stays where it was opened while the laptop's address changes.
 */
export type Found =
  /** At the page's own address. */
  | { is: "here"; base: "" }
  /** At another one that it proved to have. */
  | { is: "moved"; base: string }
  /** Another server answers at the page's own address, and ours nowhere. */
  | { is: "stranger" }
  | { is: "silent" };

export interface WhereaboutsOptions extends Prover {
  /** The page's own, as location.origin. */
  origin: string;
  shelf: Shelf;
  /** The key of the server this device joined; empty if it isn't known. */
  fingerprint(): string;
}

const shelfKey = "panside.addresses";
/** How long one address may take to answer. */
export const answerLimitMs = 4000;
/** The next address is asked this long after the one before, which goes on meanwhile. */
export const nextAfterMs = 250;
const localLimitMs = 1500;

interface Search {
  result: Promise<Found>;
  stop: AbortController;
}

/**
 * Remembers every address the server has had and finds it again by its key.
 * What has proved itself is believed until doubted.
 */
export class Whereabouts {
  /** What the last finished search found; null before the first. */
  readonly found = signal<Found | null>(null);
  private readonly options: WhereaboutsOptions;
  private search: Search | null = null;
  private believed: Found | null = null;
  /** Whose key the search and what it found are about. */
  private key = "";

  constructor(options: WhereaboutsOptions) {
    this.options = options;
  }

  /** Every address known, the one that answered last first. */
  get addresses(): string[] {
    const kept = readKept(this.options.shelf, shelfKey) as { key?: unknown; addresses?: unknown } | null;
    return kept?.key === this.options.fingerprint() ? originsIn(kept.addresses) : [];
  }

  /** Adds what the server says of its addresses; those of another server are let go. */
  remember(addresses: string[]): void {
    const known = this.addresses;
    this.keep([...known, ...originsIn(addresses).filter((a) => !known.includes(a))]);
  }

  private keep(list: string[]): void {
    const addresses = [...new Set(list)];
    if (addresses.join() === this.addresses.join()) return;
    try {
      const key = this.options.fingerprint();
      this.options.shelf.setItem(shelfKey, JSON.stringify({ key, addresses }));
    } catch {
      // Without storage they hold in the server’s own list.
    }
  }

  /** The line broke or the device slept: the server proves itself again before it gets the token. */
  doubt(): void {
    this.believed = null;
  }

  /** Where the server is; asks only when in doubt. */
  find(): Promise<Found> {
    const key = this.options.fingerprint();
    if (key !== this.key) {
      this.again(); // joined anew, to another server
      this.key = key;
      this.found.value = null;
    }
    if (this.believed) return Promise.resolve(this.believed);
    this.search ??= this.begin();
    return this.search.result;
  }

  /** Begins a new search in place of one that may hang on a network that is gone. */
  again(): void {
    this.doubt();
    const old = this.search;
    this.search = null;
    old?.stop.abort();
  }

  private begin(): Search {
    const stop = new AbortController();
    const search: Search = {
      stop,
      result: this.ask(stop.signal).then((found) => {
        if (this.search !== search) return this.find(); // replaced: the new one answers
        this.search = null;
        stop.abort(); // the slower ones
        this.found.value = found;
        if (found.is === "here" || found.is === "moved") this.believed = found;
        return found;
      }),
    };
    return search;
  }

  private async ask(stop: AbortSignal): Promise<Found> {
    const { origin, crypto } = this.options;
    const fingerprint = this.options.fingerprint();
    // Without a key, or without cryptography, there is nothing to know another
    // address by; then the page’s own server is all there is.
    if (!fingerprint || !crypto.subtle || !origin.startsWith("https://")) return { is: "here", base: "" };
    const { winner, own } = await firstProven(this.candidates(), (address) =>
      this.prove(address, fingerprint, stop),
    );
    if (!winner) return { is: own?.is === "other" ? "stranger" : "silent" };
    this.keep([winner.address, ...this.addresses, ...winner.addresses]);
    return winner.address === origin ? { is: "here", base: "" } : { is: "moved", base: winner.address };
  }

  /** The page’s own address first, then .local names, which stay, then the others. */
  private candidates(): string[] {
    const { origin } = this.options;
    // The page’s policy allows no other port, but for names of the home network.
    const others = this.addresses.filter((a) => a !== origin && (samePort(a, origin) || isLocalName(a)));
    return [origin, ...others.filter(isLocalName), ...others.filter((a) => !isLocalName(a))];
  }

  /** Whether the page’s own server has the key of an invitation. */
  async owns(fingerprint: string): Promise<Proof["is"]> {
    return (await this.prove(this.options.origin, fingerprint)).is;
  }

  /**
   * The server’s .local name as an origin, if this device reaches it there: it
   * stays when the addresses change. Null to stay where the page is.
   */
  async lasting(fingerprint: string): Promise<string | null> {
    const { origin } = this.options;
    if (!fingerprint || isLocalName(origin)) return null;
    const own = await this.prove(origin, fingerprint);
    const name = own.is === "proven" ? own.addresses.find(isLocalName) : undefined;
    if (!name) return null;
    const there = await this.prove(name, fingerprint, undefined, localLimitMs);
    return there.is === "proven" ? name : null;
  }

  private async prove(
    address: string,
    fingerprint: string,
    stop?: AbortSignal,
    limitMs = answerLimitMs,
  ): Promise<Proof> {
    const ended = new AbortController();
    const end = () => ended.abort();
    const timer = setTimeout(end, limitMs);
    stop?.addEventListener("abort", end);
    const proof = await prove(this.options, address, fingerprint, ended.signal);
    clearTimeout(timer);
    stop?.removeEventListener("abort", end);
    return proof;
  }
}

interface Race {
  winner: { address: string; addresses: string[] } | null;
  /** What the first address said, as far as it had answered. */
  own: Proof | null;
}

/** Asks one address after another without waiting long for any; the first proof wins. */
function firstProven(addresses: string[], ask: (address: string) => Promise<Proof>): Promise<Race> {
  return new Promise((done) => {
    const left = [...addresses];
    let open = 0;
    let own: Proof | null = null;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const next = () => {
      clearTimeout(timer);
      const address = left.shift();
      if (address === undefined) {
        if (open === 0) done({ winner: null, own });
        return;
      }
      open++;
      if (left.length > 0) timer = setTimeout(next, nextAfterMs);
      void ask(address).then((proof) => {
        open--;
        if (address === addresses[0]) own = proof;
        if (proof.is === "proven") {
          clearTimeout(timer);
          left.length = 0;
          done({ winner: { address, addresses: proof.addresses }, own });
        } else next();
      });
    };
    next();
  });
}

const samePort = (a: string, b: string): boolean => new URL(a).port === new URL(b).port;
const isLocalName = (address: string): boolean => new URL(address).hostname.endsWith(".local");
