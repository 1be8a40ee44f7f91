import type { Exchange } from "../sync/night";
import { type Thumb, withDb } from "./db";
import type { Journal } from "./journal";
import { type Bytes, decodeSafely, kindOf, maxPhotoBytes, type PhotoTools, thumbOf } from "./photos";

/** Addresses of small pictures that are held at once. */
const mostAddresses = 200;

/** Shows photos: from this phone where they are, from the laptop otherwise. */
export class PhotoShelf {
  private journal: Journal;
  private exchange: Exchange;
  private tools: PhotoTools;
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
    const stored = await this.journal.photos.one(sha256);
    if (stored) return new Uint8Array(stored.bytes);
    const fetched = this.line.then(() => this.fetch(sha256));
    this.line = fetched.catch(() => {});
    return fetched;
  }

  private async fetch(sha256: string): Promise<Bytes | null> {
    const response = await this.exchange("GET", `/api/v1/photos/${sha256}`);
    const bytes: Bytes = new Uint8Array(await response.arrayBuffer());
    if (bytes.length > maxPhotoBytes || !kindOf(bytes)) return null;
    return (await this.tools.sha256(bytes)) === sha256 ? bytes : null;
  }
}
