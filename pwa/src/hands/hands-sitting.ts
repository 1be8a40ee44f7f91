import type { Kind } from "./hands-kind";
import { changed, type HandsCoin, type Row } from "./hands-list";

/** What a sitting came to, for the end of it. */
export interface Summary {
  coins: number;
  /** At least one. */
  minutes: number;
  /** Most first. */
  rows: Row[];
  keepers: number;
  /** Numbers on the set-aside list. */
  aside: number[];
  missed: number;
  unseen: number;
}

/** The counts of one sitting alone; those of the list go on from one to the next. */
export class Sitting {
  missed = 0;
  unseen = 0;
  private rows: Row[] = [];
  private aside = new Map<string, number>();
  private begun: number;

  /** now in ms of a clock that goes on steadily. */
  constructor(now: number) {
    this.begun = now;
  }

  add(coin: HandsCoin, kind: Kind): void {
    this.rows = changed(this.rows, coin, kind, 1);
  }

  takeBack(coin: HandsCoin): void {
    this.rows = changed(this.rows, coin, null, -1);
  }

  setAside(coin: { id: string; number: number }): void {
    this.aside.set(coin.id, coin.number);
  }

  removed(coin: { id: string }): void {
    this.aside.delete(coin.id);
  }

  /** null if there is nothing to tell. */
  summary(now: number): Summary | null {
    const rows = [...this.rows].sort((a, b) => b.count - a.count);
    const sum = (of: Row[]) => of.reduce((n, r) => n + r.count, 0);
    const coins = sum(rows);
    if (coins + this.missed + this.unseen === 0) return null;
    return {
      coins,
      minutes: Math.max(1, Math.round((now - this.begun) / 60_000)),
      rows,
      keepers: sum(rows.filter((r) => r.keeper)),
      aside: [...this.aside.values()].sort((a, b) => a - b),
      missed: this.missed,
      unseen: this.unseen,
    };
  }
}
