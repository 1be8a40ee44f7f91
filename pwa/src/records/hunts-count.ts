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
  private timer: ReturnType<typeof setTimeout> | undefined;
  private write: (hunt: string, calls: Record<string, number>) => Promise<void>;

  /** write rejects when nothing was written; the coins are then written with the next. */
  constructor(write: (hunt: string, calls: Record<string, number>) => Promise<void>) {
    this.write = write;
  }

  add(hunt: string, call: string, more: 1 | -1): void {
    if (this.hunt !== hunt) {
      void this.flush();
      this.hunt = hunt;
    }
    this.pending.set(call, (this.pending.get(call) ?? 0) + more);
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
    if (!hunt || calls.length === 0) return;
    for (const [call] of calls) pending.delete(call);
    try {
      await this.write(hunt, Object.fromEntries(calls));
    } catch {
      if (this.hunt !== hunt) return;
      for (const [call, n] of calls) pending.set(call, (pending.get(call) ?? 0) + n);
    }
  }
}
