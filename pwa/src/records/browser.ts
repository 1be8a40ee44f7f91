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
 * same entries. It gives what lets go of the round, or null while another page
 * has one.
 */
export function onePageAtATime(locks: RecordsBrowser["locks"]): () => Promise<(() => void) | null> {
  return () => {
    if (!locks) return Promise.resolve(() => {});
    return new Promise((resolve, reject) => {
      locks
        .request("panside.sync", { ifAvailable: true }, (lock) => {
          if (lock) return new Promise<void>((letGo) => resolve(letGo));
          resolve(null);
        })
        .catch(reject);
    });
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
