import { effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import type { CoinOf, Find, PhotoOf, PhotoSide } from "../core/journal";
import type { KeptCheck } from "../core/scale-check";
import { type LocalStorage, storedSignal } from "../device/local-storage";
import { browserLock } from "../device/lock";
import type { HandsFree } from "../hands/hands";
import type { Exchange } from "../laptop/api";
import { type Act, Acts } from "../records/acts";
import { fullness, onePageAtATime, Persistence, type RecordsBrowser } from "../records/browser";
import { PhoneDb } from "../records/db";
import { GoingHunts } from "../records/going-hunts";
import { Journal } from "../records/journal";
import type { PendingEdits } from "../records/pending-edits";
import { type TakenPhoto, takePhoto } from "../records/photos";
import { browserPhotos } from "../records/photos-browser";
import { PhotoShelf } from "../records/photos-shelf";
import { type Ask, Sync } from "../records/sync";
import { type Trouble, troubleOf } from "../records/trouble";
import type { KeepableCoin, KeepableCoins } from "../weigh/keepable-coin";
import type { Shown } from "../weigh/live-verdict";
import { CoinCounting } from "./count-coins";
import { FindKeeper } from "./keep-finds";
import { weightCalibration } from "./weight-calibration";

/** What finds and hunts need of the app. */
export interface RecordsDeps {
  core: Pick<CoreClient, "callHere" | "settled">;
  exchange: Exchange;
  /** The same, with whatever was answered. */
  ask: Ask;
  storage: LocalStorage;
  browser: RecordsBrowser;
  /** This device's name on the laptop; null while it isn't joined. */
  name: ReadonlySignal<string | null>;
  /** The live line to the laptop is open. */
  connected: ReadonlySignal<boolean>;
  /** How far the laptop's journal has grown, as it last said; empty before. */
  notice: ReadonlySignal<string>;
  /** Rises whenever the laptop has news of photos. */
  photoNews: ReadonlySignal<number>;
  /** The kept check of the connected scale. */
  check: ReadonlySignal<KeptCheck | null>;
  coins: Pick<KeepableCoins, "earlier" | "coin">;
  /** The verdict retired last, of the scale's coins and of those typed in. */
  weighed: ReadonlySignal<Shown | null>;
  typed: ReadonlySignal<Shown | null>;
  /** Whether the scale's coins are counted here, one by one. */
  counts(): boolean;
  handsFree: Pick<HandsFree, "listen">;
}

/** A photo to be put to a find. */
export interface PhotoSpot {
  side: PhotoSide;
  x?: number;
  y?: number;
  where?: string;
  /** Of one of several that are taken as one. */
  lamp?: number;
  taken?: number;
}

const syncAfterWriteMs = 1_200;

/**
 * Finds and hunts on this phone, with what brings them to the laptop. It is
 * loaded after the first screen and waits for the core by itself.
 */
export class RecordsController {
  readonly journal: Journal;
  readonly sync: Sync;
  readonly shelf: PhotoShelf;
  readonly acts: Acts;
  readonly keeper: FindKeeper;
  readonly going: GoingHunts;
  readonly persistence: Persistence;
  /** Whether notebook and store are up; what keeps them from it otherwise. */
  readonly ready: Signal<"opening" | "ready" | Trouble> = signal("opening");
  /** Keep the original of each photo beside the smaller one. */
  readonly originals: Signal<boolean>;

  private deps: RecordsDeps;
  private counting: CoinCounting;
  private sending: ReturnType<typeof setTimeout> | undefined;

  constructor(deps: RecordsDeps) {
    this.deps = deps;
    const { exchange, browser } = deps;
    const { pages } = browser;
    this.journal = new Journal({
      db: new PhoneDb(),
      core: (method, input, bytes) => deps.core.callHere(method, input, bytes),
      lock: browserLock("panside.journal"),
      now: Date.now,
      name: () => deps.name.peek() ?? "",
      onStored: () => pages?.postMessage("stored"),
    });
    if (pages) pages.onmessage = () => void this.journal.heard().catch(() => {});
    this.sync = new Sync({
      journal: this.journal,
      ask: deps.ask,
      now: Date.now,
      alone: onePageAtATime(browser.locks),
      fullness: () => fullness(browser.storage),
    });
    this.shelf = new PhotoShelf(this.journal, exchange, browserPhotos);
    this.persistence = new Persistence(browser.storage);
    this.originals = storedSignal(deps.storage, "panside.originals", (k) => k === true);
    this.acts = new Acts(this.journal, () => this.sendSoon());
    this.going = new GoingHunts(this.journal);
    const hunt = () => this.going.running.peek()?.record ?? "";
    this.keeper = new FindKeeper({
      acts: this.acts,
      storage: deps.storage,
      now: Date.now,
      hunt,
      calibration: (scale) => weightCalibration(deps.check.peek(), scale),
      earlier: (placement, at) => deps.coins.earlier(placement, at),
      onKept: () => void this.persistence.ask(),
    });
    this.counting = new CoinCounting({
      hunt,
      write: async (to, counts) => {
        const written = await this.journal.count(to, counts).catch((cause) => {
          this.acts.failed(cause);
          throw cause;
        });
        if (written.entries.length > 0) this.sendSoon();
      },
    });
  }

  /** Opens everything, then goes on by itself: syncs on every occasion, and counts for the hunt that goes on. */
  async start(): Promise<void> {
    await this.open();
    const { deps } = this;
    effect(() => {
      if (deps.name.value !== null && this.ready.value === "ready") void this.sync.start();
      else this.sync.stop();
    });
    effect(() => {
      if (deps.connected.value) this.sync.wake();
    });
    effect(() => {
      const cursor = deps.notice.value;
      if (cursor) void this.sync.notice(cursor);
    });
    effect(() => {
      if (deps.photoNews.value > 0) this.sync.wake();
    });
    effect(() => {
      void this.journal.changed.value;
      if (this.ready.value === "ready") void this.going.refresh();
    });
    effect(() => void this.keeper.follow(deps.coins.coin.value));
    this.counting.each(deps.weighed, () => deps.counts());
    this.counting.each(deps.typed, () => true);
    this.counting.handsFree(deps.handsFree);
    void this.persistence.look();
  }

  async open(): Promise<void> {
    try {
      // What is only here is counted and shown before the core is there.
      await this.journal.recount();
      await this.deps.core.settled();
      await this.journal.start();
      this.ready.value = "ready";
    } catch (cause) {
      this.ready.value = troubleOf(cause);
    }
  }

  /** The page comes to the front, or the network is back. */
  wake(): void {
    if (this.ready.peek() !== "ready") void this.open();
    else this.sync.wake();
  }

  /** The page goes to the back: what is in memory is written down. */
  leave(): void {
    void this.counting.flush();
    void this.journal.snapshot(1).catch(() => {});
  }

  /** Takes an act back; that can be taken back again. */
  async undo(act: Act): Promise<void> {
    const by = await this.acts.undo(act);
    if (by) this.keeper.undone(act, by);
  }

  /**
   * Keeps a coin as what it was found to be: the weighed one, of which it is said
   * if it is a find already, or one without a weight. Null if that failed.
   */
  async keepAs(kind: string, coin: CoinOf, held: KeepableCoin | null): Promise<string | null> {
    if (!held) return this.keeper.keepUnweighed({ kind, coin });
    const record = this.keeper.kept.peek().get(held.coinId);
    if (!record) return this.keeper.keep(held, { kind, coin });
    try {
      const { find } = await this.journal.record(record);
      if (!find) return null;
      const set = { kind, coin: { ...find.coin, ...coin } };
      const written = await this.acts.write("saved", { kind: "find", record, set, saw: find.ids });
      return written && record;
    } catch (cause) {
      this.acts.failed(cause);
      return null;
    }
  }

  /** Takes a photo of a file and puts it to a find, of which a screen writes more; null if that failed. */
  async addPhoto(find: Find, file: Blob, spot: PhotoSpot, edits: PendingEdits): Promise<PhotoOf | null> {
    const photos = await this.addPhotos(find, [{ file, spot }], edits);
    return photos?.[0] ?? null;
  }

  /** The same with several in one act, and what else of the find belongs to it. */
  async addPhotos(
    find: Find,
    files: readonly { file: Blob; spot: PhotoSpot }[],
    edits: PendingEdits,
    more: Record<string, unknown> = {},
  ): Promise<PhotoOf[] | null> {
    try {
      const all: { taken: TakenPhoto; photo: PhotoOf }[] = [];
      for (const { file, spot } of files) {
        const taken = await takePhoto(file, this.originals.peek(), browserPhotos, Date.now());
        // The same picture once more is what it was said to be before, but for one of several.
        const already = find.photos.find((p) => p.sha256 === taken.photo.sha256);
        all.push({ taken, photo: { ...taken.photo, ...spot, ...already, ...(spot.lamp && spot) } });
      }
      const photos = Object.fromEntries(all.map(({ photo }) => [`photo/${photo.sha256}`, photo]));
      const set = { ...more, ...photos };
      const stored = all.flatMap(({ taken }) => taken.stored);
      const written = await edits.save(set, find.ids, (saw) =>
        this.journal.write({ kind: "find", record: find.record, set, saw }, stored),
      );
      for (const { taken } of all) void this.shelf.putThumb(taken.thumb);
      if (written) this.acts.done("photo", "find", written);
      return all.map(({ photo }) => photo);
    } catch (cause) {
      this.acts.failed(cause);
      return null;
    }
  }

  /** Lets a hunt go on, or pauses it. */
  async pause(hunt: string, begin: boolean): Promise<void> {
    await this.counting.flush();
    await this.acts.try("hunt", "hunt", () => this.journal.pause(hunt, begin));
  }

  /** Counts one coin less for a hunt, at a tap. */
  async oneLess(hunt: string, call: string): Promise<void> {
    await this.counting.flush();
    await this.acts.try("hunt", "hunt", () => this.journal.count(hunt, { calls: { [call]: -1 } }));
  }

  /** Several acts after one another go in one round; it doesn't wait for the last of them. */
  private sendSoon(): void {
    this.sending ??= setTimeout(() => {
      this.sending = undefined;
      this.sync.wake();
    }, syncAfterWriteMs);
  }
}
