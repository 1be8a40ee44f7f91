import { type Signal, signal } from "@preact/signals";
import type { WeightOf } from "../core/journal";
import { strings } from "../core/json";
import { type LocalStorage, storedSignal } from "../device/local-storage";
import type { AsideCoin } from "../hands/hands";
import type { Act, Acts } from "../records/acts";
import { coinOf, type Held } from "../weigh/finds-held";

/** Coins of the set-aside list that are remembered to be finds. */
const mostAsideKept = 500;

export interface FindKeeperDeps {
  acts: Pick<Acts, "write">;
  storage: LocalStorage;
  now(): number;
  /** The record of the hunt that goes on; empty for none. */
  hunt(): string;
  /** What is known of the errors of the scale of that name; null if nothing is. */
  calibration(scale: string): WeightOf["calibration"] | null;
  /** A coin of this visit with its own digits and readings; null if it isn't remembered. */
  earlier(placement: number, at: number): Held | null;
  /** Told of each coin that became a find. */
  onKept?(): void;
}

/** What tells on this page that a coin is a find: its keys, and its id if it was set aside. */
interface KeptMarks {
  record: string;
  keys: string[];
  aside: string;
}

/** Makes finds of coins, each once. */
export class FindKeeper {
  /** The find that each coin was kept as, by the coin's key on this page. */
  readonly kept: Signal<ReadonlyMap<string, string>> = signal(new Map());
  readonly keeping: Signal<boolean> = signal(false);
  /** Coins of the set-aside list that are finds by now, by their ids. */
  readonly asideKept: Signal<string[]>;

  private deps: FindKeeperDeps;
  /** The coin set aside that became a find last, so that it can be taken back. */
  private asideRecord = { record: "", coin: "" };
  /** The act that took a keeping back or did it again, while it is the last. */
  private keepAct: { act: Act; marks: KeptMarks } | null = null;

  constructor(deps: FindKeeperDeps) {
    this.deps = deps;
    this.asideKept = storedSignal(deps.storage, "panside.aside-kept", strings);
  }

  /**
   * Keeps a coin as a find and returns its record; that of before if it is one
   * already. Null while another is being kept, and if it couldn't be saved.
   */
  async keep(held: Held): Promise<string | null> {
    if (this.keeping.peek()) return null;
    const already = this.kept.peek().get(held.key);
    if (already) return already;
    this.keeping.value = true;
    try {
      const written = await this.deps.acts.write("kept", {
        kind: "find",
        record: "",
        set: this.fieldsOf(held),
      });
      if (!written) return null;
      this.kept.value = new Map(this.kept.peek()).set(held.key, written.record);
      this.deps.onKept?.();
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
      const held = this.deps.earlier(coin.placement, coin.at) ?? heldOf(coin);
      const record = await this.keep({ ...held, coin: coinOf(coin.question), verdict: coin.verdict });
      if (!record) return made;
      this.asideKept.value = [...this.asideKept.peek().slice(1 - mostAsideKept), coin.id];
      this.asideRecord = { record, coin: coin.id };
      made++;
    }
    return made;
  }

  /** Whether an act made a find of a coin that was set aside. */
  asideAct(coin: string, act: Act): boolean {
    return act.what === "kept" && act.record === this.asideRecord.record && coin === this.asideRecord.coin;
  }

  /**
   * An act was taken back, by another. A coin whose keeping was taken back can
   * be kept again; done again, it is its coin's as before, or it would be kept twice.
   */
  undone(act: Act, by: Act): void {
    const again = act === this.keepAct?.act ? this.keepAct.marks : null;
    const marks = act.what === "kept" ? this.marksOf(act.record) : again;
    if (!marks) return;
    this.mark(marks, act.what === "undone");
    this.keepAct = { act: by, marks };
  }

  private fieldsOf(held: Held): Record<string, unknown> {
    const { deps } = this;
    const weight: WeightOf = { ...held.weight };
    const calibration = weight.scale && deps.calibration(weight.scale.name);
    if (calibration) weight.calibration = calibration;
    const set: Record<string, unknown> = { found: deps.now(), weight };
    if (held.trace) set.trace = held.trace;
    if (held.coin) set.coin = held.coin;
    if (held.verdict) set.verdict = held.verdict;
    const hunt = deps.hunt();
    if (hunt) set.hunt = hunt;
    return set;
  }

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
