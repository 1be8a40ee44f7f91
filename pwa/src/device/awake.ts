import { type Signal, signal } from "@preact/signals";

interface LockLike {
  released: boolean;
  release(): Promise<void>;
  addEventListener(type: "release", act: () => void): void;
}
export interface WakeLockLike {
  request(type: "screen"): Promise<LockLike>;
}

/**
 * Keeps the screen on while it is wanted. The browser takes the lock away
 * whenever the page is hidden, so it is taken anew when the page is back.
 */
export class Awake {
  /** “unable” where the browser has no such thing or refuses, as on a battery that runs out. */
  readonly state: Signal<"off" | "on" | "unable"> = signal("off");
  private source: WakeLockLike | null;
  private lock: LockLike | null = null;
  private wanted = false;
  private asking = false;

  constructor(source: WakeLockLike | null) {
    this.source = source;
  }

  async keep(): Promise<void> {
    this.wanted = true;
    if (!this.source) {
      this.state.value = "unable";
      return;
    }
    if (this.asking || (this.lock && !this.lock.released)) return;
    this.asking = true;
    try {
      const lock = await this.source.request("screen");
      this.lock = lock;
      lock.addEventListener("release", () => {
        if (this.lock === lock) this.state.value = "off";
      });
      this.state.value = "on";
      if (!this.wanted) await this.letGo();
    } catch {
      this.state.value = "unable";
    } finally {
      this.asking = false;
    }
  }

  /** The page is in front again. */
  async visible(): Promise<void> {
    if (this.wanted) await this.keep();
  }

  async letGo(): Promise<void> {
    this.wanted = false;
    const lock = this.lock;
    this.lock = null;
    this.state.value = "off";
    if (lock && !lock.released) await lock.release().catch(() => {}); // the browser has released it already
  }
}
