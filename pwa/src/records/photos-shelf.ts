import { type Exchange, Refusal, unreachable } from "../laptop/api";
import { type Thumb, withDb } from "./db";
import type { Journal } from "./journal";
import { type Bytes, decodeSafely, kindOf, maxPhotoBytes, type PhotoTools, thumbOf } from "./photos";

/** Addresses of small pictures that are held at once. */
const mostAddresses = 200;
/** How often one part of a photo is asked for when the line breaks. */
const mostTries = 3;
/** Fetched at once, at most. */
const mostPartBytes = 2 << 20;

/** Shows photos: from this phone where they are, from the laptop otherwise. */
export class PhotoShelf {
  private journal: Journal;
  private exchange: Exchange;
  private tools: PhotoTools;
  /** How much of a photo is fetched at once; 0 for as much as the core begins with. */
  private part = 0;
  private addresses = new Map<string, Promise<string | null>>();
  /** Photos of the laptop are fetched one after the other. */
  private line: Promise<unknown> = Promise.resolve();

  constructor(journal: Journal, exchange: Exchange, tools: PhotoTools) {
    this.journal = journal;
    this.exchange = exchange;
    this.tools = tools;
  }

  async putThumb(thumb: Thumb): Promise<void> {
    await withDb(this.journal.db, () => this.journal.db.thumbs.put(thumb)).catch(() => {}); // made again when wanted
  }

  /** The address of a small picture; null if it can't be had now. */
  thumb(sha256: string): Promise<string | null> {
    const had = this.addresses.get(sha256);
    if (had) return had;
    const made = this.makeThumb(sha256).catch(() => null);
    this.addresses.set(sha256, made);
    void made.then((address) => {
      if (address === null) this.addresses.delete(sha256); // tried again when it is next wanted
    });
    if (this.addresses.size > mostAddresses) this.dropOldest();
    return made;
  }

  /** The photo itself, checked to be what it is named by; null if it is neither here nor within reach. */
  async whole(sha256: string): Promise<Blob | null> {
    const bytes = await this.bytesOf(sha256).catch(() => null);
    return bytes && new Blob([bytes], { type: kindOf(bytes) });
  }

  private dropOldest(): void {
    const [oldest] = this.addresses.keys();
    if (oldest === undefined) return;
    const address = this.addresses.get(oldest);
    this.addresses.delete(oldest);
    void address?.then((a) => a && URL.revokeObjectURL(a));
  }

  private async makeThumb(sha256: string): Promise<string | null> {
    const { db } = this.journal;
    let thumb = await withDb(db, () => db.thumbs.get(sha256));
    if (!thumb) {
      const bytes = await this.bytesOf(sha256);
      if (!bytes) return null;
      const picture = await decodeSafely(bytes, kindOf(bytes), this.tools);
      try {
        thumb = await thumbOf(sha256, picture);
      } finally {
        picture.close();
      }
      await this.putThumb(thumb);
    }
    return URL.createObjectURL(new Blob([thumb.bytes], { type: thumb.type }));
  }

  private async bytesOf(sha256: string): Promise<Bytes | null> {
    const stored = await this.journal.photo(sha256);
    if (stored) return new Uint8Array(stored.bytes);
    const fetched = this.line.then(() => this.fetch(sha256));
    this.line = fetched.catch(() => {});
    return fetched;
  }

  /** The core says how a part follows the line, for fetching as for sending. */
  private async sizePart(how: { failed: true } | { went: number; ms: number } | object): Promise<void> {
    const asked = { bytes: this.part, most: mostPartBytes, ...how };
    const { ok } = await this.journal.sync("sync-part", asked);
    this.part = (ok as { bytes: number }).bytes;
  }

  /** Part by part, so that a slow line brings it too, and one that breaks goes on where it was. */
  private async fetch(sha256: string): Promise<Bytes | null> {
    const bytes = await this.fetchParts(`/api/v1/photos/${sha256}`);
    if (!bytes || !kindOf(bytes)) return null;
    return (await this.tools.sha256(bytes)) === sha256 ? bytes : null;
  }

  private async fetchParts(path: string): Promise<Bytes | null> {
    const parts: Bytes[] = [];
    let have = 0;
    await this.sizePart({});
    for (let tries = 0; ; ) {
      const range = `bytes=${have}-${have + this.part - 1}`;
      const began = Date.now();
      let response: Response;
      try {
        response = await this.exchange("GET", path, undefined, { Range: range });
      } catch (cause) {
        if (!(cause instanceof Refusal) || cause.code !== unreachable || ++tries > mostTries) throw cause;
        await this.sizePart({ failed: true });
        continue;
      }
      const part: Bytes = new Uint8Array(await response.arrayBuffer());
      if (response.status !== 206) return part.length > maxPhotoBytes ? null : part; // all of it at once
      await this.sizePart({ went: part.length, ms: Date.now() - began });
      tries = 0;
      parts.push(part);
      have += part.length;
      const total = Number(response.headers.get("Content-Range")?.split("/")[1]);
      if (!(total <= maxPhotoBytes) || part.length === 0) return null;
      if (have >= total) break;
    }
    const whole: Bytes = new Uint8Array(have);
    let at = 0;
    for (const part of parts) {
      whole.set(part, at);
      at += part.length;
    }
    return whole;
  }
}
