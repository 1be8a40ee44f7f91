import type { Signal } from "@preact/signals";
import { fields, list, words } from "../core/json";
import { readScores, type Scores } from "./hints";

/** The scores that a coin had of which the hunter says that it is ordinary. */
export interface OrdinaryCoin {
  /** The find and the side. */
  id: string;
  scores: Scores;
}

/** So many are remembered; the oldest go. */
const most = 200;

/** What is read of coins that were kept. */
export const readOrdinary = (kept: unknown): OrdinaryCoin[] =>
  list(kept).flatMap((x) => {
    const [id, scores] = [words(fields(x).id), readScores(fields(x).scores)];
    return id && Object.keys(scores).length > 0 ? [{ id, scores }] : [];
  });

/** The hunter’s own ordinary coins, as their camera saw them: what hints’ false alarms are counted by. Where they are kept is for the page to say. */
export class OrdinaryCoins {
  private coins: Signal<readonly OrdinaryCoin[]>;

  constructor(coins: Signal<readonly OrdinaryCoin[]>) {
    this.coins = coins;
  }

  /** The scores of all but one coin, which isn’t to be held against itself. */
  scoresBut(id: string): Scores[] {
    return this.coins.value.filter((c) => c.id !== id).map((c) => c.scores);
  }

  get count(): number {
    return this.coins.value.length;
  }

  has(id: string): boolean {
    return this.coins.value.some((c) => c.id === id);
  }

  add(id: string, scores: Scores): void {
    this.coins.value = [...this.coins.peek().filter((c) => c.id !== id), { id, scores }].slice(-most);
  }

  drop(id: string): void {
    this.coins.value = this.coins.peek().filter((c) => c.id !== id);
  }
}
