import { effect, type ReadonlySignal } from "@preact/signals";
import type { Verdict } from "../core/types";
import { type HandsCoin, type HandsFree, mostUndo } from "../hands/hands";
import { type CountedCoin, HuntCounter, type WriteCounts } from "../records/hunts-count";
import type { Shown } from "../weigh/live-verdict";

export interface CoinCountingDeps {
  /** The record of the hunt that goes on; empty for none. */
  hunt(): string;
  /** Writes coins by their calls and metals; rejects when nothing was written. */
  write: WriteCounts;
}

/** Counts coins for the hunt that goes on, each once, by what its verdict called for. */
export class CoinCounting {
  private deps: CoinCountingDeps;
  private counter: HuntCounter;
  /** The hunt that each coin counted hands-free was counted in, by the coin's id, while it can be taken back. */
  private countedIn = new Map<string, string>();

  constructor(deps: CoinCountingDeps) {
    this.deps = deps;
    this.counter = new HuntCounter((hunt, counts) => deps.write(hunt, counts));
  }

  /** Counts each coin whose verdict is retired, where counts says so at that moment. */
  each(last: ReadonlySignal<Shown | null>, counts: () => boolean): void {
    let counted = last.peek()?.placement ?? null;
    effect(() => {
      const shown = last.value;
      if (!shown || shown.placement === counted) return;
      counted = shown.placement;
      if (counts()) this.count(countedAs(shown.verdict));
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

  private count(coin: CountedCoin): string {
    const hunt = this.deps.hunt();
    if (hunt) this.counter.add(hunt, coin, 1);
    return hunt;
  }

  private add(coin: HandsCoin): void {
    const hunt = this.count(countedAs(coin.verdict));
    if (!hunt) return;
    this.countedIn.set(coin.id, hunt);
    const [oldest] = this.countedIn.keys();
    if (this.countedIn.size > mostUndo && oldest !== undefined) this.countedIn.delete(oldest);
  }

  private takeBack(coin: HandsCoin): void {
    const hunt = this.countedIn.get(coin.id) || this.deps.hunt();
    if (hunt) this.counter.add(hunt, countedAs(coin.verdict), -1);
    this.countedIn.delete(coin.id);
  }
}

function countedAs({ call, tally }: Verdict): CountedCoin {
  return { call, metal: tally.name, keeper: tally.keeper };
}
