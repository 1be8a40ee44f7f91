import { type Signal, signal } from "@preact/signals";

/**
 * Whether this page opens without the laptop: "waiting" while it is being put
 * by, "ready", or why not: "unsafe" without an encrypted address, "untrusted"
 * when the browser doesn't trust the laptop's certificate, "unable" when the
 * browser has no service workers (a private window, some apps' inside).
 */
export type Offline = "waiting" | "ready" | "unsafe" | "untrusted" | "unable";
export const offlineStates = ["waiting", "ready", "unsafe", "untrusted", "unable"] as const;

/** The change to a newer version: not asked for, on its way, or kept from it by something. */
export type Change = "none" | "changing" | "stuck";

/**
 * How long the change may take. Browsers let an old worker rest half a minute
 * before they take it for idle, and change then at the latest.
 */
export const changeLimitMs = 40_000;

/** The part of a service worker's registration that is needed here. */
export interface Registered {
  waiting: { postMessage(message: unknown): void } | null;
  installing: Installing | null;
  active: unknown;
  addEventListener(type: "updatefound", act: () => void): void;
  update(): Promise<unknown>;
}

interface Installing {
  state: string;
  addEventListener(type: "statechange", act: () => void): void;
}

export interface Workers {
  controller: unknown;
  register(address: string): Promise<Registered>;
  addEventListener(type: "controllerchange", act: () => void): void;
}

/**
 * Keeps a copy of the app on this device. A newer copy is fetched but waits: it
 * takes over only when the person says so, never under a coin.
 */
export class OfflineCopy {
  readonly state: Signal<Offline> = signal("waiting");
  /** A newer version lies ready. */
  readonly newer: Signal<boolean> = signal(false);
  /** How far the change to the newer version has come. */
  readonly change: Signal<Change> = signal("none");
  private registered: Registered | null = null;
  private agreed = false;
  private reload: () => void;
  /** Resolves when the app may ask the laptop; pending while the change goes on. */
  private quiet = Promise.resolve();

  constructor(reload: () => void) {
    this.reload = reload;
  }

  /** workers is null where the browser has none. */
  async start(workers: Workers | null, secure: boolean): Promise<void> {
    if (!secure || !workers) {
      this.state.value = secure ? "unable" : "unsafe";
      return;
    }
    const first = workers.controller === null;
    workers.addEventListener("controllerchange", () => {
      // Another window agreed to the newer version: this one goes on with what it has until told.
      if (this.agreed) this.reload();
      else if (!first) this.newer.value = true;
    });
    try {
      const registered = await workers.register("/sw.js");
      this.registered = registered;
      this.follow(registered);
    } catch (cause) {
      this.state.value = (cause as Error)?.name === "SecurityError" ? "untrusted" : "unable";
    }
  }

  private follow(registered: Registered): void {
    if (registered.active) this.state.value = "ready";
    if (registered.waiting) this.newer.value = true;
    this.watch(registered);
    registered.addEventListener("updatefound", () => this.watch(registered));
  }

  private watch(registered: Registered): void {
    const coming = registered.installing;
    coming?.addEventListener("statechange", () => {
      // The very first copy has nothing to wait for and takes over by itself.
      if (coming.state === "installed" && registered.active) this.newer.value = true;
      if (coming.state === "activated") this.state.value = "ready";
    });
  }

  /** Asks the laptop whether there is a newer version. */
  look(): void {
    this.registered?.update().catch(() => {}); // not within reach: asked again some other time
  }

  /** The person agrees to the newer version. */
  agree(): void {
    this.agreed = true;
    const waiting = this.registered?.waiting;
    if (!waiting) {
      this.reload();
      return;
    }
    if (this.change.value === "changing") return;
    this.change.value = "changing";
    this.quiet = new Promise<void>((done) => setTimeout(done, changeLimitMs)).then(() => {
      this.agreed = false; // if it comes later, the person is asked anew
      this.change.value = "stuck";
    });
    waiting.postMessage({ type: "SKIP_WAITING" });
  }

  /**
   * Lets a request of the app out, except while it changes to a newer version:
   * the browser changes once the old worker is idle, and each request wakes it.
   */
  async pass<T>(request: () => Promise<T>): Promise<T> {
    await this.quiet;
    return request();
  }
}
