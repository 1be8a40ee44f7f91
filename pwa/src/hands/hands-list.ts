import { batch, computed, type Signal, signal } from "@preact/signals";
import { fields, isCount, list, oneOf, words } from "../core/json";
import { readVerdict } from "../core/read";
import { type Call, calls, type JudgeQuestion, type Verdict } from "../core/types";
import { type LocalStorage, storedSignal } from "../device/local-storage";
import type { Kind } from "./hands-kind";

/** One coin that was counted; what a hunt's count or a new find is taken from. */
export interface HandsCoin {
  /** Its own for ever, so that nothing is taken from it twice. */
  id: string;
  placement: number;
  /** Milliseconds since 1970. */
  at: number;
  question: JudgeQuestion;
  mean_g: number;
  u_g: number;
  verdict: Verdict;
  kind: string;
  label: string;
  noted: boolean;
  /** It was lifted before it rested. */
  early: boolean;
  /** Milliseconds since it landed, and the estimate then, in grams. */
  trace: [number, number][];
}

/** A coin on the set-aside list, numbered as it was said. */
export interface AsideCoin extends HandsCoin {
  number: number;
  byHand: boolean;
}

/** How often one kind was counted. */
export interface Row {
  key: string;
  keyBefore: string;
  label: string;
  denomination: string;
  call: Call;
  noted: boolean;
  /** Such coins are usually set aside. */
  aside: boolean;
  keeper: boolean;
  wanted: string;
  /** See Kind. */
  sign: string;
  current: boolean;
  count: number;
}

export interface Counts {
  rows: Row[];
  missed: number;
  unseen: number;
}

/** More on one evening's list than this is no list any more. */
export const mostAside = 120;

const nothing: Counts = { rows: [], missed: 0, unseen: 0 };

/** The counts and the set-aside list of a sitting, kept on this device. */
export class HandsList {
  readonly counts: Signal<Counts>;
  readonly aside: Signal<AsideCoin[]>;
  readonly total = computed(() => this.counts.value.rows.reduce((sum, r) => sum + r.count, 0));
  /** The counts before they were set to nothing. */
  readonly before: Signal<Counts | null> = signal(null);
  /** The entry removed last, with the place it had. */
  readonly removed: Signal<{ coin: AsideCoin; at: number } | null> = signal(null);
  /** Kinds whose coins are, or aren't, set aside against what is usual. */
  readonly choices: Signal<Record<string, boolean>>;
  private next: Signal<number>;

  constructor(storage: LocalStorage) {
    this.counts = storedSignal(storage, "panside.hands.counts", readCounts);
    this.aside = storedSignal(storage, "panside.hands.aside", readAside);
    this.choices = storedSignal(storage, "panside.hands.kinds", readChoices);
    this.next = storedSignal(storage, "panside.hands.next", (k) => (isCount(k) && k > 0 ? k : 1));
  }

  add(coin: HandsCoin, kind: Kind): void {
    this.counts.value = {
      ...this.counts.value,
      rows: changed(this.counts.value.rows, coin, kind, 1),
    };
  }

  takeBack(coin: HandsCoin): void {
    this.counts.value = {
      ...this.counts.value,
      rows: changed(this.counts.value.rows, coin, null, -1),
    };
  }

  missed(): void {
    this.counts.value = { ...this.counts.value, missed: this.counts.value.missed + 1 };
  }

  unseen(coins: number): void {
    this.counts.value = { ...this.counts.value, unseen: this.counts.value.unseen + coins };
  }

  reset(): void {
    batch(() => {
      this.before.value = this.counts.value;
      this.counts.value = nothing;
      if (this.aside.value.length === 0) this.next.value = 1;
    });
  }

  /** Gives the counts back, with what was counted since. */
  undoReset(): void {
    const before = this.before.value;
    if (!before) return;
    batch(() => {
      let { rows, missed, unseen } = before;
      for (const r of this.counts.value.rows) {
        const old = rows.find((o) => o.key === r.key);
        rows = old ? rows.map((o) => (o === old ? { ...o, count: o.count + r.count } : o)) : [...rows, r];
      }
      missed += this.counts.value.missed;
      unseen += this.counts.value.unseen;
      this.counts.value = { rows, missed, unseen };
      this.before.value = null;
    });
  }

  /** Puts a coin on the list and returns its entry; null if the list is full. */
  put(coin: HandsCoin, byHand: boolean): AsideCoin | null {
    const there = this.aside.value.find((a) => a.id === coin.id);
    if (there) return there;
    if (this.aside.value.length >= mostAside) return null;
    const entry = { ...coin, number: this.next.value, byHand };
    batch(() => {
      this.aside.value = [...this.aside.value, entry];
      this.next.value = entry.number + 1;
    });
    return entry;
  }

  /** Puts better figures to the entry of a coin, if it has one. */
  renew(coin: HandsCoin): void {
    this.aside.value = this.aside.value.map((a) => (a.id === coin.id ? { ...a, ...coin } : a));
  }

  remove(id: string): AsideCoin | null {
    const at = this.aside.value.findIndex((a) => a.id === id);
    const coin = this.aside.value[at];
    if (!coin) return null;
    batch(() => {
      this.removed.value = { coin, at };
      this.aside.value = this.aside.value.filter((a) => a !== coin);
    });
    return coin;
  }

  undoRemove(): AsideCoin | null {
    const was = this.removed.value;
    if (!was) return null;
    batch(() => {
      const list = [...this.aside.value];
      list.splice(was.at, 0, was.coin);
      this.aside.value = list;
      this.removed.value = null;
    });
    return was.coin;
  }

  /** Whether coins of a kind are set aside. */
  sets(kind: Pick<Kind, "key" | "keyBefore" | "aside">): boolean {
    const chosen = this.choices.value;
    return chosen[kind.key] ?? chosen[kind.keyBefore] ?? kind.aside;
  }

  choose(key: string, aside: boolean): void {
    this.choices.value = { ...this.choices.value, [key]: aside };
  }
}

/** The rows with a coin more or less of a kind; usual says what a kind is that has no row yet. */
export function changed(rows: Row[], coin: HandsCoin, usual: Kind | null, by: 1 | -1): Row[] {
  const old = rows.find((r) => r.key === coin.kind);
  if (old) {
    return rows.map((r) => (r === old ? { ...r, count: r.count + by } : r)).filter((r) => r.count > 0);
  }
  if (!usual) return rows; // counted before the counts were set to nothing
  const { tone: _, ...kind } = usual;
  return [...rows, { ...kind, denomination: coin.question.denomination, count: 1 }];
}

function readCounts(kept: unknown): Counts {
  const k = fields(kept);
  const rows = list(k.rows).flatMap((x) => {
    const r = fields(x);
    const call = oneOf(calls, r.call);
    if (typeof r.key !== "string" || typeof r.label !== "string" || !call || !isCount(r.count)) return [];
    const denomination = words(r.denomination);
    const { key, label, count } = r as { key: string; label: string; count: number };
    return [
      {
        key,
        keyBefore: words(r.keyBefore) || key,
        label,
        denomination,
        call,
        noted: r.noted === true,
        aside: r.aside === true,
        keeper: r.keeper === true,
        wanted: words(r.wanted),
        sign: words(r.sign),
        current: r.current === true,
        count,
      },
    ];
  });
  return { rows, missed: isCount(k.missed) ? k.missed : 0, unseen: isCount(k.unseen) ? k.unseen : 0 };
}

function readAside(kept: unknown): AsideCoin[] {
  return list(kept).flatMap((x) => {
    const a = fields(x) as Partial<AsideCoin>;
    const verdict = readKeptVerdict(a.verdict);
    if (typeof a.id !== "string" || !isCount(a.number) || !verdict || !a.question) return [];
    return [{ ...(a as AsideCoin), verdict, trace: Array.isArray(a.trace) ? a.trace : [] }];
  });
}

/** A kept verdict has been read once: its alloys' years are one text already. */
function readKeptVerdict(x: unknown): Verdict | null {
  const v = readVerdict(x);
  if (!v) return null;
  const alloys = list(fields(x).alloys).map(fields);
  return {
    ...v,
    alloys: v.alloys.map((a, i) => ({
      ...a,
      years: typeof alloys[i]?.years === "string" ? (alloys[i].years as string) : a.years,
    })),
  };
}

function readChoices(kept: unknown): Record<string, boolean> {
  return Object.fromEntries(
    Object.entries(fields(kept)).filter((e): e is [string, boolean] => typeof e[1] === "boolean"),
  );
}
