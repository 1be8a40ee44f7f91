import { effect, type ReadonlySignal } from "@preact/signals";
import { type HandsCoin, type HandsFree, mostUndo } from "../hands/hands";
import { HuntCounter } from "../records/hunts-count";
import type { Shown } from "../weigh/live-verdict";

export interface CoinCountingDeps {
  /** The record of the hunt that goes on; empty for none. */
  hunt(): string;
  /** Writes coins by their calls; rejects when nothing was written. */
  write(hunt: string, calls: Record<string, number>): Promise<void>;
}

/** Counts coins for the hunt that goes on, each once, by what its verdict called for. */
export class CoinCounting {
  private deps: CoinCountingDeps;
  private counter: HuntCounter;
  /** The hunt that each coin counted hands-free was counted in, by the coin's id, while it can be taken back. */
  private countedIn = new Map<string, string>();

  constructor(deps: CoinCountingDeps) {
    this.deps = deps;
    this.counter = new HuntCounter((hunt, calls) => deps.write(hunt, calls));
  }

  /** Counts each coin whose verdict is retired, where counts says so at that moment. */
  each(last: ReadonlySignal<Shown | null>, counts: () => boolean): void {
    let counted = last.peek()?.placement ?? null;
    effect(() => {
      const shown = last.value;
      if (!shown || shown.placement === counted) return;
      counted = shown.placement;
      if (counts()) this.count(shown.verdict.call);
    });
  }

  /** Counts what is counted hands-free, and takes back what is taken back there. */
  handsFree(handsFree: Pick<HandsFree, "listen">): void {
    handsFree.listen((e) => {
      if (e.is === "counted") this.add(e.coin);
      if (e.is === "taken-back") this.takeBack(e.coin);
    });
  }

  /** Writes down what is in memory. */
  flush(): Promise<void> {
    return this.counter.flush();
  }

  private count(call: string): string {
    const hunt = this.deps.hunt();
    if (hunt) this.counter.add(hunt, call, 1);
    return hunt;
  }

  private add(coin: HandsCoin): void {
    const hunt = this.count(coin.verdict.call);
    if (!hunt) return;
    this.countedIn.set(coin.id, hunt);
    const [oldest] = this.countedIn.keys();
    if (this.countedIn.size > mostUndo && oldest !== undefined) this.countedIn.delete(oldest);
  }

  private takeBack(coin: HandsCoin): void {
    const hunt = this.countedIn.get(coin.id) || this.deps.hunt();
    if (hunt) this.counter.add(hunt, coin.verdict.call, -1);
    this.countedIn.delete(coin.id);
  }
}
