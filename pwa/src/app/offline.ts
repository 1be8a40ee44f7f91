import { type Signal, signal } from "@preact/signals";

/**
 * Whether this page opens without the laptop: "waiting" while it is being put
 * by, "ready", or why not: "unsafe" without an encrypted address, "untrusted"
 * when the browser doesn't trust the laptop's certificate, "unable" when the
 * browser has no service workers (a private window, some apps' inside).
 */
export type Offline = "waiting" | "ready" | "unsafe" | "untrusted" | "unable";
export const offlineStates = ["waiting", "ready", "unsafe", "untrusted", "unable"] as const;

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
  private registered: Registered | null = null;
  private agreed = false;
  private reload: () => void;

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
    if (waiting) waiting.postMessage({ type: "SKIP_WAITING" });
    else this.reload();
  }
}
