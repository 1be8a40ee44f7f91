import type { Counts, MetalCount } from "../core/journal";

/** What a coin is counted as: by its call, and by its metal if it has one. */
export interface CountedCoin {
  call: string;
  /** By the name that the core counts it under; empty for none. */
  metal: string;
  keeper: boolean;
}

export type WriteCounts = (hunt: string, counts: Counts) => Promise<void>;

const flushAfter = 10;
const flushEveryMs = 5_000;

/**
 * Gathers the coins judged for a hunt and writes them down every ten coins or
 * few seconds; coins taken back after they were written are written as so many
 * fewer.
 */
export class HuntCounter {
  private hunt = "";
  private pending: Pending = nothing();
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
    addTo(this.pending, {
      calls: { [call]: more },
      metals: metal ? { [metal]: more } : {},
      keepers: metal && keeper ? { [metal]: more } : {},
    });
    let waiting = 0;
    for (const n of Object.values(this.pending.calls)) waiting += Math.abs(n);
    if (waiting >= flushAfter) void this.flush();
    else this.timer ??= setTimeout(() => void this.flush(), flushEveryMs);
  }

  async flush(): Promise<void> {
    clearTimeout(this.timer);
    this.timer = undefined;
    const { hunt } = this;
    const counts = some(this.pending);
    this.pending = nothing();
    // Metals may be left where the calls make nothing: one bronze cent more, a zinc one less.
    if (!hunt || names.every((name) => Object.keys(counts[name]).length === 0)) return;
    try {
      await this.write(hunt, { calls: counts.calls, metals: metalsOf(counts) });
    } catch {
      if (this.hunt === hunt) addTo(this.pending, counts);
    }
  }
}

/** Coins by their calls, by their metals, and the keepers among these. */
interface Pending {
  calls: Record<string, number>;
  metals: Record<string, number>;
  keepers: Record<string, number>;
}

const names = ["calls", "metals", "keepers"] as const;

const nothing = (): Pending => ({ calls: {}, metals: {}, keepers: {} });

function addTo(sum: Pending, more: Pending): void {
  for (const name of names) {
    for (const [of, n] of Object.entries(more[name])) sum[name][of] = (sum[name][of] ?? 0) + n;
  }
}

/** Without what makes nothing. */
function some(counts: Pending): Pending {
  const left = (of: Record<string, number>) =>
    Object.fromEntries(Object.entries(of).filter(([, n]) => n !== 0));
  return { calls: left(counts.calls), metals: left(counts.metals), keepers: left(counts.keepers) };
}

function metalsOf({ metals, keepers }: Pending): MetalCount[] {
  const all = new Set([...Object.keys(metals), ...Object.keys(keepers)]);
  return [...all].map((name) => ({ name, coins: metals[name] ?? 0, keepers: keepers[name] ?? 0 }));
}
