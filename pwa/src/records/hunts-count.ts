import type { MetalCount } from "../core/journal";

/** What a coin is counted as: by its call, and by its metal if it has one. */
export interface CountedCoin {
  call: string;
  /** By the name that the core counts it under; empty for none. */
  metal: string;
  keeper: boolean;
}

export type WriteCounts = (
  hunt: string,
  calls: Record<string, number>,
  metals: MetalCount[],
) => Promise<void>;

const flushAfter = 10;
const flushEveryMs = 5_000;

/**
 * Gathers the coins judged for a hunt and writes them down every ten coins or
 * few seconds; coins taken back after they were written are written as so many
 * fewer.
 */
export class HuntCounter {
  private hunt = "";
  private pending = new Map<string, number>();
  private metals = new Map<string, MetalCount>();
  private timer: ReturnType<typeof setTimeout> | undefined;
  private write: WriteCounts;

  /** write rejects when nothing was written; the coins are then written with the next. */
  constructor(write: WriteCounts) {
    this.write = write;
  }

  add(hunt: string, { call, metal, keeper }: CountedCoin, more: 1 | -1): void {
    if (this.hunt !== hunt) {
      void this.flush();
      this.hunt = hunt;
    }
    this.pending.set(call, (this.pending.get(call) ?? 0) + more);
    if (metal) this.addMetal({ name: metal, coins: more, keepers: keeper ? more : 0 });
    let waiting = 0;
    for (const n of this.pending.values()) waiting += Math.abs(n);
    if (waiting >= flushAfter) void this.flush();
    else this.timer ??= setTimeout(() => void this.flush(), flushEveryMs);
  }

  async flush(): Promise<void> {
    clearTimeout(this.timer);
    this.timer = undefined;
    const { hunt, pending } = this;
    const calls = [...pending].filter(([, n]) => n !== 0);
    const metals = [...this.metals.values()].filter((m) => m.coins !== 0 || m.keepers !== 0);
    // A metal may be left where its calls make nothing: one bronze cent more, a zinc one less.
    if (!hunt || calls.length + metals.length === 0) return;
    for (const [call] of calls) pending.delete(call);
    this.metals.clear();
    try {
      await this.write(hunt, Object.fromEntries(calls), metals);
    } catch {
      if (this.hunt !== hunt) return;
      for (const [call, n] of calls) pending.set(call, (pending.get(call) ?? 0) + n);
      for (const m of metals) this.addMetal(m);
    }
  }

  private addMetal(m: MetalCount): void {
    const had = this.metals.get(m.name) ?? { name: m.name, coins: 0, keepers: 0 };
    this.metals.set(m.name, {
      name: m.name,
      coins: had.coins + m.coins,
      keepers: (had.keepers ?? 0) + (m.keepers ?? 0),
    });
  }
}
