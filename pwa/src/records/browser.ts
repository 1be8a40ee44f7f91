import { type Signal, signal } from "@preact/signals";

/** What the records need of the browser beside its database. */
export interface RecordsBrowser {
  locks: Pick<LockManager, "request"> | undefined;
  storage: Partial<Pick<StorageManager, "estimate" | "persist" | "persisted">> | undefined;
  /** The line to the other pages of this phone; null where the browser has none. */
  pages: Pick<BroadcastChannel, "postMessage" | "onmessage"> | null;
}

export const recordsBrowser = (): RecordsBrowser => ({
  locks: navigator.locks,
  storage: navigator.storage,
  pages: typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("panside.journal"),
});

/**
 * Lets one page at a time have a round of the sync, for several would push the
 * same entries; act isn't begun, and the answer is null, while another has one.
 */
export function onePageAtATime(
  locks: RecordsBrowser["locks"],
): <T>(act: () => Promise<T>) => Promise<T | null> {
  return async (act) => {
    if (!locks) return act();
    return locks.request("panside.sync", { ifAvailable: true }, (lock) => (lock ? act() : null));
  };
}

/** How full the browser's storage is, 0 to 1; null when it doesn't say. */
export async function fullness(storage: RecordsBrowser["storage"]): Promise<number | null> {
  const { usage, quota } = (await storage?.estimate?.().catch(() => null)) ?? {};
  return usage !== undefined && quota ? usage / quota : null;
}

/** The wish to keep what is stored even when space runs short. */
export class Persistence {
  /** The browser's answer to the wish; null before it was asked. */
  readonly granted: Signal<boolean | null> = signal(null);
  private storage: RecordsBrowser["storage"];

  constructor(storage: RecordsBrowser["storage"]) {
    this.storage = storage;
  }

  /** Whether it was granted before. */
  async look(): Promise<void> {
    if (await this.storage?.persisted?.()) this.granted.value = true;
  }

  async ask(): Promise<void> {
    if (this.granted.peek() === true || !this.storage?.persist) return;
    this.granted.value = await this.storage.persist().catch(() => false);
  }
}
