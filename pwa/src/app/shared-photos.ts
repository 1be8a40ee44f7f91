import { type Signal, signal } from "@preact/signals";

/**
 * Photos that were shared to the app from elsewhere on the phone. The service
 * worker (public/share-target.js) puts each into this cache and opens the app;
 * here they wait until a find takes them.
 */
export const sharedCache = "panside-shared-photos";

/** A photo that waits, named by its address in the cache. */
export interface SharedPhoto {
  key: string;
  name: string;
  file: File;
}

/** The part of CacheStorage that is used, so that tests can stand one in. */
export type Caches = Pick<CacheStorage, "open" | "has">;

const browserCaches = (): Caches | null => (typeof caches === "undefined" ? null : caches);

export class SharedPhotos {
  /** How many wait. */
  readonly waiting: Signal<number> = signal(0);
  private source: Caches | null;

  constructor(source: Caches | null = browserCaches()) {
    this.source = source;
  }

  /** Counts anew; to be called when the page comes to the front. */
  async look(): Promise<void> {
    const cache = await this.cache();
    this.waiting.value = cache ? (await cache.keys()).length : 0;
  }

  /** Those that wait, oldest first. They stay until they are dropped, so that none is lost on the way. */
  async list(): Promise<SharedPhoto[]> {
    const cache = await this.cache();
    if (!cache) return [];
    const photos: SharedPhoto[] = [];
    for (const request of await cache.keys()) {
      const response = await cache.match(request);
      if (!response) continue;
      const name = decodeURIComponent(response.headers.get("X-Name") ?? "");
      const type = response.headers.get("Content-Type") ?? "";
      const file = new File([await response.blob()], name || "photo", { type });
      photos.push({ key: new URL(request.url).pathname, name, file });
    }
    return photos.sort((a, b) => a.key.localeCompare(b.key));
  }

  /** Forgets photos that were taken, or all. */
  async drop(keys?: readonly string[]): Promise<void> {
    const cache = await this.cache();
    if (!cache) return;
    for (const request of await cache.keys()) {
      if (!keys || keys.includes(new URL(request.url).pathname)) await cache.delete(request);
    }
    await this.look();
  }

  private async cache(): Promise<Cache | null> {
    try {
      return this.source && (await this.source.has(sharedCache)) ? await this.source.open(sharedCache) : null;
    } catch {
      return null; // a page whose address isn't encrypted, or a private window
    }
  }
}
