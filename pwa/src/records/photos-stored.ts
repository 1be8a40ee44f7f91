import { type Flag, type PhoneDb, type StoredPhoto, withDb } from "./db";

/** The photos that are kept on this phone, and which of them the laptop has. */
export class StoredPhotos {
  private db: PhoneDb;
  private now: () => number;
  private told: () => Promise<void>;

  /** told is called after each change. */
  constructor(db: PhoneDb, now: () => number, told: () => Promise<void>) {
    this.db = db;
    this.now = now;
    this.told = told;
  }

  async one(sha256: string): Promise<StoredPhoto | undefined> {
    return withDb(this.db, () => this.db.photos.get(sha256));
  }

  /** By the index alone: reading the photos themselves would fill the memory. */
  async unsent(): Promise<string[]> {
    return withDb(this.db, () => this.db.photos.where("[sent+refused]").equals([0, ""]).primaryKeys());
  }

  /** The laptop has read them back from its disk. */
  async markSent(photos: string[]): Promise<void> {
    const change = { sent: 1, sentAt: this.now() } as const;
    await withDb(this.db, () => this.db.photos.where("sha256").anyOf(photos).modify(change));
    await this.told();
  }

  /** Of these photos, those that are here and can be sent; they count as unsent again. */
  async sendAgain(photos: string[]): Promise<string[]> {
    const wanted = new Set(photos);
    const { sent, unsent } = await withDb(this.db, () =>
      this.db.transaction("rw", this.db.photos, async () => {
        const those = async (flag: Flag) =>
          (await this.db.photos.where("[sent+refused]").equals([flag, ""]).primaryKeys()).filter((p) =>
            wanted.has(p),
          );
        const sent = await those(1);
        const unsent = await those(0);
        await this.db.photos.where("sha256").anyOf(sent).modify({ sent: 0, sentAt: 0 });
        return { sent, unsent };
      }),
    );
    if (sent.length > 0) await this.told();
    return [...sent, ...unsent];
  }

  async markRefused(sha256: string, sentence: string): Promise<void> {
    await withDb(this.db, () => this.db.photos.update(sha256, { refused: sentence }));
    await this.told();
  }

  /** Photos that the laptop has had since before a moment, the oldest first. */
  async longSent(before: number): Promise<string[]> {
    return withDb(this.db, () => this.db.photos.where("sentAt").between(1, before).primaryKeys());
  }

  /** Frees photos that the laptop has just said it has read back, and minds those that it lacks. */
  async checked(have: string[], missing: string[]): Promise<void> {
    await withDb(this.db, () =>
      this.db.transaction("rw", this.db.photos, async () => {
        await this.db.photos.where("sha256").anyOf(missing).modify({ sent: 0, sentAt: 0 });
        await this.db.photos.bulkDelete(have);
      }),
    );
    await this.told();
  }
}
