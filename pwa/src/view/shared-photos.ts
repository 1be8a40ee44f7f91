import { type Signal, signal } from "@preact/signals";

/**
 * Photos that were shared to the app from elsewhere on the phone. The service
 * worker (public/share-target.js) puts each into this cache and opens the app;
 * here they wait until a find takes them.
 */
export const sharedCache = "panside-shared-photos";
/** Where those that were thrown away lie until the page is closed, or others are. */
export const thrownCache = "panside-shared-photos-thrown";

/** A photo that waits, named by its address in the cache. */
export interface SharedPhoto {
  key: string;
  name: string;
  file: File;
}

/** The part of CacheStorage that is used, so that tests can stand one in. */
export type Caches = Pick<CacheStorage, "open" | "has" | "delete">;

const browserCaches = (): Caches | null => (typeof caches === "undefined" ? null : caches);

export class SharedPhotos {
  /** How many wait. */
  readonly waiting: Signal<number> = signal(0);
  /** How many were thrown away and can be taken back. */
  readonly thrown: Signal<number> = signal(0);
  private source: Caches | null;

  constructor(source: Caches | null = browserCaches()) {
    this.source = source;
  }

  /** Counts anew; to be called when the page comes to the front. */
  async look(): Promise<void> {
    this.waiting.value = await this.count(sharedCache);
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

  /** Forgets photos that were taken. */
  async drop(keys: readonly string[]): Promise<void> {
    const cache = await this.cache();
    if (!cache) return;
    for (const request of await cache.keys()) {
      if (keys.includes(new URL(request.url).pathname)) await cache.delete(request);
    }
    await this.look();
  }

  /** Throws all away; they can be taken back while the page is open. */
  async throwAway(): Promise<void> {
    await this.source?.delete(thrownCache);
    await this.move(sharedCache, thrownCache);
    this.thrown.value = await this.count(thrownCache);
    await this.look();
  }

  async takeBack(): Promise<void> {
    await this.move(thrownCache, sharedCache);
    this.thrown.value = 0;
    await this.look();
  }

  /** Nobody takes them back any more. */
  async forget(): Promise<void> {
    this.thrown.value = 0;
    await this.source?.delete(thrownCache).catch(() => false);
  }

  private async count(name: string): Promise<number> {
    const cache = await this.cache(name);
    return cache ? (await cache.keys()).length : 0;
  }

  private async move(from: string, to: string): Promise<void> {
    const source = await this.cache(from);
    if (!source) return;
    const target = await this.source?.open(to);
    for (const request of await source.keys()) {
      const response = await source.match(request);
      if (response) await target?.put(new URL(request.url).pathname, response);
      await source.delete(request);
    }
  }

  private async cache(name = sharedCache): Promise<Cache | null> {
    try {
      return this.source && (await this.source.has(name)) ? await this.source.open(name) : null;
    } catch {
      return null; // a page whose address isn't encrypted, or a private window
    }
  }
}
