import { batch, effect, type Signal, signal } from "@preact/signals";
import { noCoreHere } from "../core/client";
import type { Find, Hunt, PhotoOf, PhotoSide, WeightOf, Written } from "../core/journal";
import { fields, number } from "../core/read";
import { keptSignal } from "../device/kept";
import { browserLock } from "../device/lock";
import { type AsideCoin, type HandsCoin, mostUndo } from "../hands/hands";
import type { Exchange } from "../laptop/api";
import { PhoneDb, StoreFault, type StoreTrouble } from "../records/db";
import { HuntCounter } from "../records/hunts-count";
import { type Change, CoreRefusal, Journal } from "../records/journal";
import type { OwnWrites } from "../records/own-writes";
import { PhotoFault, type PhotoTrouble, takePhoto } from "../records/photos";
import { browserPhotos } from "../records/photos-browser";
import { PhotoShelf } from "../records/photos-shelf";
import { aloneOfPages, Sync } from "../records/sync";
import { coinOf, type Held } from "../weigh/finds-held";
import type { Shown } from "../weigh/judging";
import type { App } from "./app";

/** Why something wasn't saved or read, for the words to say. */
export type Trouble =
  | { is: "store"; trouble: StoreTrouble }
  | { is: "photo"; trouble: PhotoTrouble }
  | { is: "no-core" }
  | { is: "core"; sentence: string; field: string };

export function troubleOf(cause: unknown): Trouble {
  if (cause instanceof StoreFault) return { is: "store", trouble: cause.trouble };
  if (cause instanceof PhotoFault) return { is: "photo", trouble: cause.trouble };
  if (cause instanceof CoreRefusal) {
    if (cause.fault.code === noCoreHere) return { is: "no-core" };
    return { is: "core", sentence: cause.fault.sentence, field: cause.fault.field ?? "" };
  }
  return { is: "core", sentence: "", field: "" };
}

/** What tells on this page that a coin is a find: its keys, and its id if it was set aside. */
interface KeptMarks {
  record: string;
  keys: string[];
  aside: string;
}

/** What was done last, to be taken back by one tap. */
export interface Act {
  /** What the words call it. */
  what: "kept" | "saved" | "deleted" | "restored" | "photo" | "undone" | "redone" | "hunt";
  record: string;
  kind: "find" | "hunt";
  entries: string[];
}

/** A photo to be put to a find. */
export interface PhotoSpot {
  side: PhotoSide;
  x?: number;
  y?: number;
  where?: string;
}

const mostAsideKept = 500;
const syncAfterWriteMs = 1_200;

/**
 * Finds and hunts on this phone, with what brings them to the laptop. It is
 * loaded after the first screen and waits for the core by itself.
 */
export class FindsDoor {
  readonly journal: Journal;
  readonly sync: Sync;
  readonly shelf: PhotoShelf;
  /** Whether notebook and store are up; what keeps them from it otherwise. */
  readonly ready: Signal<"opening" | "ready" | Trouble> = signal("opening");
  /** The browser's answer to the wish to keep the finds even when space runs short; null before it was asked. */
  readonly persisted: Signal<boolean | null> = signal(null);
  /** The hunt that goes on now, and that coins are counted for. */
  readonly running: Signal<Hunt | null> = signal(null);
  /** Others that go on too, and that nothing is counted for. */
  readonly idle: Signal<Hunt[]> = signal([]);
  readonly lastAct: Signal<Act | null> = signal(null);
  /** The find that each coin was kept as, by the coin's key on this page. */
  readonly kept: Signal<ReadonlyMap<string, string>> = signal(new Map());
  readonly keeping: Signal<boolean> = signal(false);
  readonly trouble: Signal<Trouble | null> = signal(null);
  /** Keep the original of each photo beside the smaller one. */
  readonly originals: Signal<boolean>;
  readonly hunts: Signal<Hunt[]> = signal([]);
  /** Deleted ones too, which finds may still be of. */
  readonly allHunts: Signal<Hunt[]> = signal([]);
  /** Coins of the set-aside list that are finds by now. */
  readonly asideKept: Signal<string[]>;

  private app: App;
  private counter: HuntCounter;
  /** The hunt that each coin counted hands-free was counted in, by the coin's id, while it can be taken back. */
  private countedIn = new Map<string, string>();
  /** The coin set aside that became a find last, so that it can be taken back. */
  private asideRecord = { record: "", coin: "" };
  /** The act that took a keeping back or did it again, while it is the last. */
  private keepAct: { act: Act; marks: KeptMarks } | null = null;
  private sending: ReturnType<typeof setTimeout> | undefined;
  private calibration: { of: string; value: WeightOf["calibration"] | null } = { of: "", value: null };

  constructor(app: App) {
    this.app = app;
    const pages = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("panside.journal");
    this.journal = new Journal({
      db: new PhoneDb(),
      core: (method, input, bytes) => app.core.callHere(method, input, bytes),
      lock: browserLock("panside.journal"),
      now: Date.now,
      name: () => {
        const s = app.session.state.peek();
        return s.at === "joined" ? s.device.name : "";
      },
      onStored: () => pages?.postMessage("stored"),
    });
    if (pages) pages.onmessage = () => void this.journal.heard().catch(() => {});
    const exchange: Exchange = (method, path, body, headers) => app.api.exchange(method, path, body, headers);
    this.sync = new Sync({
      journal: this.journal,
      ask: (...request) => app.api.ask(...request),
      now: Date.now,
      alone: aloneOfPages,
      fullness,
    });
    this.counter = new HuntCounter(async (hunt, calls) => {
      const written = await this.journal.count(hunt, calls).catch((cause) => {
        this.trouble.value = troubleOf(cause);
        throw cause;
      });
      if (written.entries.length > 0) this.sendSoon();
    });
    this.shelf = new PhotoShelf(this.journal, exchange, browserPhotos);
    this.asideKept = keptSignal(app.shelf, "panside.aside-kept", (k) =>
      Array.isArray(k) ? k.filter((id) => typeof id === "string") : [],
    );
    this.originals = keptSignal(app.shelf, "panside.originals", (k) => k === true);
  }

  /** Opens everything, then goes on by itself: syncs on every occasion, and counts for the hunt that goes on. */
  async start(): Promise<void> {
    await this.open();
    const { app } = this;
    effect(() => {
      if (app.session.state.value.at === "joined" && this.ready.value === "ready") void this.sync.start();
      else this.sync.stop();
    });
    effect(() => {
      if (app.live.line.value === "open") this.sync.wake();
    });
    effect(() => {
      const cursor = app.notice.value;
      if (cursor) void this.sync.notice(cursor);
    });
    effect(() => {
      if (app.photoNews.value > 0) this.sync.wake();
    });
    effect(() => {
      void this.journal.changed.value;
      if (this.ready.value === "ready") void this.refresh();
    });
    effect(() => {
      const r = app.live.reading.value;
      if ("scale" in r) void this.learnCalibration(r.scale?.name ?? "", r.scale?.checked ?? "");
    });
    // Only the device that holds the pan counts, and hands-free it counts by itself.
    this.countEach(app.judging.last, () => !app.hands.on.peek() && !app.pan.watching);
    this.countEach(app.typed.last, () => true);
    app.hands.listen((e) => {
      if (e.is === "counted") this.countCoin(e.coin);
      if (e.is === "taken-back") this.uncountCoin(e.coin);
    });
    void navigator.storage?.persisted?.().then((yes) => {
      if (yes) this.persisted.value = true;
    });
  }

  async open(): Promise<void> {
    try {
      // What is only here is counted and shown before the core is there.
      await this.journal.recount();
      await this.app.core.settled();
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
    void this.counter.flush();
    void this.journal.snapshot(1).catch(() => {});
  }

  // Finds.

  /** Keeps a coin as a find; null if it couldn't be saved, and then trouble says why. */
  async keep(held: Held): Promise<string | null> {
    if (this.keeping.peek()) return null;
    const already = this.kept.peek().get(held.key);
    if (already) return already;
    this.keeping.value = true;
    try {
      const now = Date.now();
      const weight: WeightOf = { ...held.weight };
      if (this.calibration.value && weight.scale) weight.calibration = this.calibration.value;
      const set: Record<string, unknown> = { found: now, weight };
      if (held.trace) set.trace = held.trace;
      if (held.coin) set.coin = held.coin;
      if (held.verdict) set.verdict = held.verdict;
      const hunt = this.running.peek();
      if (hunt) set.hunt = hunt.record;
      const written = await this.act("kept", { kind: "find", record: "", set });
      if (!written) return null;
      this.kept.value = new Map(this.kept.peek()).set(held.key, written.record);
      void this.persist();
      return written.record;
    } finally {
      this.keeping.value = false;
    }
  }

  /** Makes finds of coins that were set aside, each once; how many were made. */
  async keepAside(coins: readonly AsideCoin[]): Promise<number> {
    let made = 0;
    for (const coin of coins) {
      if (this.asideKept.peek().includes(coin.id)) continue;
      const held = this.app.heldCoin.earlier(coin.placement, coin.at) ?? heldOf(coin);
      const record = await this.keep({ ...held, coin: coinOf(coin.question), verdict: coin.verdict });
      if (!record) return made;
      this.asideKept.value = [...this.asideKept.peek().slice(1 - mostAsideKept), coin.id];
      this.asideRecord = { record, coin: coin.id };
      made++;
    }
    return made;
  }

  /** Writes fields of a find or a hunt; null if that failed. */
  async act(what: Act["what"], change: Change): Promise<Written | null> {
    return this.tried(what, change.kind, () => this.journal.write(change));
  }

  /** Takes a photo of a file and puts it to a find, of which a screen writes more. */
  async addPhoto(find: Find, file: Blob, spot: PhotoSpot, own: OwnWrites): Promise<PhotoOf | null> {
    try {
      const taken = await takePhoto(file, this.originals.peek(), browserPhotos, Date.now());
      // The same picture once more is what it was said to be before.
      const already = find.photos.find((p) => p.sha256 === taken.photo.sha256);
      const photo: PhotoOf = { ...taken.photo, ...spot, ...already };
      const set = { [`photo/${photo.sha256}`]: photo };
      const written = await own.save(set, find.ids, (saw) =>
        this.journal.write({ kind: "find", record: find.record, set, saw }, taken.stored),
      );
      void this.shelf.putThumb(taken.thumb);
      if (written) this.did("photo", "find", written);
      return photo;
    } catch (cause) {
      this.trouble.value = troubleOf(cause);
      return null;
    }
  }

  /** Takes the last act back; that can be taken back again. */
  async undo(act: Act): Promise<void> {
    const written = await this.tried(act.what === "undone" ? "redone" : "undone", act.kind, () =>
      this.journal.undo(act.entries),
    );
    if (!written) return;
    // Done again, a find is its coin's as before; else the coin would be kept twice.
    const again = act === this.keepAct?.act ? this.keepAct.marks : null;
    const marks = act.what === "kept" ? this.marksOf(act.record) : again;
    if (!marks) return;
    this.mark(marks, act.what === "undone");
    const next = this.lastAct.peek();
    this.keepAct = next && { act: next, marks };
  }

  /** What tells on this page that a coin is a find. */
  private marksOf(record: string): KeptMarks {
    const keys = [...this.kept.peek()].filter(([, r]) => r === record).map(([key]) => key);
    const aside = this.asideRecord.record === record ? this.asideRecord.coin : "";
    return { record, keys, aside };
  }

  private mark({ record, keys, aside }: KeptMarks, isFind: boolean): void {
    const kept = new Map(this.kept.peek());
    for (const key of keys) {
      if (isFind) kept.set(key, record);
      else kept.delete(key);
    }
    this.kept.value = kept;
    if (!aside) return;
    const others = this.asideKept.peek().filter((id) => id !== aside);
    this.asideKept.value = isFind ? [...others, aside] : others;
  }

  /** Whether an act made a find of a coin that was set aside. */
  asideAct(coin: string, act: Act): boolean {
    return act.what === "kept" && act.record === this.asideRecord.record && coin === this.asideRecord.coin;
  }

  async pause(hunt: string, begin: boolean): Promise<void> {
    await this.counter.flush();
    await this.tried("hunt", "hunt", () => this.journal.pause(hunt, begin));
  }

  private async tried(
    what: Act["what"],
    kind: Act["kind"],
    act: () => Promise<Written>,
  ): Promise<Written | null> {
    try {
      const written = await act();
      this.did(what, kind, written);
      return written;
    } catch (cause) {
      this.trouble.value = troubleOf(cause);
      return null;
    }
  }

  private did(what: Act["what"], kind: Act["kind"], written: Written): void {
    batch(() => {
      this.trouble.value = null;
      if (written.entries.length > 0) {
        this.lastAct.value = {
          what,
          kind,
          record: written.record,
          entries: written.entries.map((e) => e.id),
        };
      }
    });
    this.sendSoon();
  }

  /** Several acts after one another go in one round; it doesn't wait for the last of them. */
  private sendSoon(): void {
    this.sending ??= setTimeout(() => {
      this.sending = undefined;
      this.sync.wake();
    }, syncAfterWriteMs);
  }

  // Hunts.

  /** Counts each coin whose verdict is put aside, once. */
  private countEach(last: Signal<Shown | null>, counts: () => boolean): void {
    let counted = last.peek()?.placement ?? null;
    effect(() => {
      const shown = last.value;
      if (!shown || shown.placement === counted) return;
      counted = shown.placement;
      if (counts()) this.count(shown.verdict.call);
    });
  }

  /** A coin judged, by what its verdict called for; it belongs to the hunt that goes on. */
  private count(call: string): string {
    const hunt = this.running.peek()?.record ?? "";
    if (hunt) this.counter.add(hunt, call, 1);
    return hunt;
  }

  private countCoin(coin: HandsCoin): void {
    const hunt = this.count(coin.verdict.call);
    if (!hunt) return;
    this.countedIn.set(coin.id, hunt);
    const [oldest] = this.countedIn.keys();
    if (this.countedIn.size > mostUndo && oldest !== undefined) this.countedIn.delete(oldest);
  }

  private uncountCoin(coin: HandsCoin): void {
    const hunt = this.countedIn.get(coin.id) ?? this.running.peek()?.record;
    if (hunt) this.counter.add(hunt, coin.verdict.call, -1);
    this.countedIn.delete(coin.id);
  }

  /** Counts one coin less for a hunt, at a tap. */
  async oneLess(hunt: string, call: string): Promise<void> {
    await this.counter.flush();
    await this.tried("hunt", "hunt", () => this.journal.count(hunt, { [call]: -1 }));
  }

  private async refresh(): Promise<void> {
    try {
      const { hunts, counting } = await this.journal.hunts();
      batch(() => {
        this.allHunts.value = hunts;
        this.hunts.value = hunts.filter((h) => !h.deleted);
        const going = this.hunts.value.filter((h) => h.state === "going");
        this.running.value = going.find((h) => h.record === counting) ?? null;
        this.idle.value = going.filter((h) => h.record !== counting);
      });
    } catch {
      // Said where it is looked at.
    }
  }

  /** Asks the browser to keep the finds even when space runs short. */
  async persist(): Promise<void> {
    if (this.persisted.peek() === true || !navigator.storage?.persist) return;
    this.persisted.value = await navigator.storage.persist().catch(() => false);
  }

  /** What the laptop knows of the scale's own errors, to be kept with each weight. */
  private async learnCalibration(scale: string, checked: string): Promise<void> {
    const of = checked ? `${scale} ${checked}` : "";
    if (of === this.calibration.of) return;
    this.calibration = { of, value: null };
    if (!of) return;
    try {
      const response = await this.app.api.exchange("GET", "/api/v1/scale-check");
      const check = fields(fields(await response.json()).check);
      const result = fields(check.result);
      const repeatability = number(fields(result.repeatability).used_g);
      const linearity = number(fields(result.calibration).linearity_g);
      if (repeatability === null || this.calibration.of !== of) return;
      this.calibration.value = {
        at: Date.parse(checked) || 0,
        repeatability_g: repeatability,
        calibration_g: linearity ?? 0,
        drift_g: number(fields(result.drift).used_g) ?? 0,
        assumed: result.assumed === true,
      };
    } catch {
      // The weight is kept without it; whether it was assumed stands beside the scale.
    }
  }
}

/** A set-aside coin of an earlier visit, of which the estimates are left. */
function heldOf(coin: AsideCoin): Held {
  const value = coin.mean_g.toFixed(3);
  return {
    key: `aside-${coin.id}`,
    placement: coin.placement as Held["placement"],
    label: `${value}\u00a0g`,
    weight: {
      value,
      unit: "g",
      mean_g: coin.mean_g,
      u_g: coin.u_g,
      resolution_g: coin.question.resolution_g,
      at: coin.at,
    },
    trace: null,
    coin: null,
    verdict: null,
  };
}

async function fullness(): Promise<number | null> {
  const { usage, quota } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
  return usage !== undefined && quota ? usage / quota : null;
}
