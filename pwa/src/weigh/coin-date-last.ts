import type { Signal } from "@preact/signals";
import { keptSignal, type Shelf } from "../device/kept";

/** A date as it was picked: the year's four figures, and the mint as in CoinDate. */
export interface PickedDate {
  year: string;
  mint: string;
}

const isPicked = (x: unknown): x is PickedDate =>
  typeof x === "object" &&
  x !== null &&
  /^\d{4}$/.test(String((x as PickedDate).year)) &&
  typeof (x as PickedDate).mint === "string";

/** The date picked last for each denomination, by “US/cent”; kept between visits. */
export class LastDates {
  private kept: Signal<Record<string, PickedDate>>;

  constructor(shelf: Shelf) {
    this.kept = keptSignal(shelf, "panside.dates", (k) =>
      typeof k === "object" && k !== null
        ? Object.fromEntries(Object.entries(k).filter((e): e is [string, PickedDate] => isPicked(e[1])))
        : {},
    );
  }

  of(coin: string): PickedDate | null {
    return this.kept.value[coin] ?? null;
  }

  put(coin: string, date: PickedDate): void {
    this.kept.value = { ...this.kept.value, [coin]: date };
  }
}
