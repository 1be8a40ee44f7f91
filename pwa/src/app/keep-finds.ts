import { type Signal, signal } from "@preact/signals";
import { gistOf } from "../core/gist";
import type { CoinOf, WeightOf, Written } from "../core/journal";
import { strings } from "../core/json";
import { type LocalStorage, storedSignal } from "../device/local-storage";
import type { AsideCoin } from "../hands/hands";
import type { Act, Acts } from "../records/acts";
import { coinOf, type KeepableCoin } from "../weigh/keepable-coin";

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
  earlier(placement: number, at: number): KeepableCoin | null;
  /** Told of each coin that became a find. */
  onKept?(): void;
}

/** Under which ids this page knows that a coin is a find: among the coins weighed, and on the set-aside list. */
interface KeptMarks {
  record: string;
  coinIds: string[];
  aside: string;
}

interface Claim {
  record: string;
  coin: CoinOf | null;
  /** Coin and evidence that the find has. */
  told: string;
  newest: KeepableCoin;
  saw: Record<string, string[]>;
  writing: boolean;
}

const told = (held: KeepableCoin): string => JSON.stringify([held.coin, held.evidence ?? {}]);

/** Whether a coin may be the one before, of which more is known now. */
function sameCoin(was: CoinOf | null, now: CoinOf | null): boolean {
  if (!was || !now) return was === now;
  const { country, denomination, year, mint } = was;
  if (country !== now.country || denomination !== now.denomination) return false;
  return (!year || year === now.year) && (!mint || mint === now.mint);
}

const claimFields = ["coin", "verdict", "gist", "evidence"];

const sawOf = (w: Written): Record<string, string[]> =>
  Object.fromEntries(w.entries.filter((e) => claimFields.includes(e.field)).map((e) => [e.field, [e.id]]));

const claimOf = ({ verdict }: KeepableCoin) => (verdict ? { verdict, gist: gistOf(verdict) } : {});

/** Makes finds of coins, each once. */
export class FindKeeper {
  /** The find that each coin was kept as, by the coin’s id on this page. */
  readonly kept: Signal<ReadonlyMap<string, string>> = signal(new Map());
  readonly keeping: Signal<boolean> = signal(false);
  /** Coins of the set-aside list that are finds by now, by their ids. */
  readonly asideKept: Signal<string[]>;

  /** What this page wrote of each coin’s verdict, and had seen of it, by the coin’s id. */
  private claims = new Map<string, Claim>();
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
   * Keeps a coin as a find, with what more is said of it, and returns its record;
   * that of before if it is one already. Null while another is being kept, and if it couldn't be saved.
   */
  async keep(held: KeepableCoin, more: Record<string, unknown> = {}): Promise<string | null> {
    if (this.keeping.peek()) return null;
    const already = this.kept.peek().get(held.coinId);
    if (already) return already;
    this.keeping.value = true;
    try {
      const written = await this.deps.acts.write("kept", {
        kind: "find",
        record: "",
        set: { ...this.fieldsOf(held), ...more },
      });
      if (!written) return null;
      this.kept.value = new Map(this.kept.peek()).set(held.coinId, written.record);
      this.claims.set(held.coinId, {
        record: written.record,
        coin: held.coin,
        told: told(held),
        saw: sawOf(written),
        newest: held,
        writing: false,
      });
      this.deps.onKept?.();
      return written.record;
    } finally {
      this.keeping.value = false;
    }
  }

  /** Keeps a coin that was never weighed; null while another is being kept, and if it couldn't be saved. */
  async keepUnweighed(set: Record<string, unknown>): Promise<string | null> {
    if (this.keeping.peek()) return null;
    this.keeping.value = true;
    try {
      const { deps } = this;
      const hunt = deps.hunt();
      const found = { found: deps.now(), ...(hunt ? { hunt } : {}), ...set };
      const written = await deps.acts.write("kept", { kind: "find", record: "", set: found });
      if (written) deps.onKept?.();
      return written?.record ?? null;
    } finally {
      this.keeping.value = false;
    }
  }

  /**
   * More was found out about a coin that is a find: an answer, or the date of one
   * kept without. It goes to the find, over what this page itself wrote of it.
   */
  async follow(held: KeepableCoin | null): Promise<void> {
    const was = held && this.claims.get(held.coinId);
    if (!was || !held?.verdict || !this.kept.peek().has(held.coinId)) return;
    if (!sameCoin(was.coin, held.coin)) return; // asked for the next coin, while this one still lies there
    was.newest = held;
    if (was.writing) return;
    was.writing = true;
    while (told(was.newest) !== was.told) {
      const { newest, record, saw } = was;
      const set = { ...claimOf(newest), coin: newest.coin, evidence: newest.evidence ?? {} };
      const written = await this.deps.acts.write("saved", { kind: "find", record, set, saw });
      if (!written) break; // said where it is looked at; the next answer tries again
      was.told = told(newest);
      was.coin = newest.coin;
      was.saw = { ...saw, ...sawOf(written) };
    }
    was.writing = false;
  }

  /** Makes finds of coins that were set aside, each once; how many were made. */
  async keepAside(coins: readonly AsideCoin[]): Promise<number> {
    let made = 0;
    for (const coin of coins) {
      if (this.asideKept.peek().includes(coin.id)) continue;
      const held = this.deps.earlier(coin.placement, coin.at) ?? heldOf(coin);
      const { question, verdict } = coin;
      const record = await this.keep({
        ...held,
        coin: coinOf(question),
        verdict,
        evidence: question.evidence,
      });
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

  private fieldsOf(held: KeepableCoin): Record<string, unknown> {
    const { deps } = this;
    const weight: WeightOf = { ...held.weight };
    const calibration = weight.scale && deps.calibration(weight.scale.name);
    if (calibration) weight.calibration = calibration;
    const set: Record<string, unknown> = { found: deps.now(), weight };
    if (held.trace) set.trace = held.trace;
    if (held.coin) set.coin = held.coin;
    Object.assign(set, claimOf(held));
    if (held.evidence && Object.keys(held.evidence).length > 0) set.evidence = held.evidence;
    const hunt = deps.hunt();
    if (hunt) set.hunt = hunt;
    return set;
  }

  private marksOf(record: string): KeptMarks {
    const coinIds = [...this.kept.peek()].filter(([, r]) => r === record).map(([id]) => id);
    const aside = this.asideRecord.record === record ? this.asideRecord.coin : "";
    return { record, coinIds, aside };
  }

  private mark({ record, coinIds, aside }: KeptMarks, isFind: boolean): void {
    const kept = new Map(this.kept.peek());
    for (const id of coinIds) {
      if (isFind) kept.set(id, record);
      else kept.delete(id);
    }
    this.kept.value = kept;
    if (!aside) return;
    const others = this.asideKept.peek().filter((id) => id !== aside);
    this.asideKept.value = isFind ? [...others, aside] : others;
  }
}

/** A set-aside coin of an earlier visit, of which the estimates are left. */
function heldOf(coin: AsideCoin): KeepableCoin {
  const value = coin.mean_g.toFixed(3);
  return {
    coinId: `aside-${coin.id}`,
    placement: coin.placement as KeepableCoin["placement"],
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
