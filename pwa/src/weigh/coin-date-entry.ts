import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { marksFor } from "../core/marks";
import type { Denomination } from "../core/types";
import type { CoinDate } from "./coin-date";
import type { LastDates, PickedDate } from "./coin-date-last";

/** What is asked for next. */
export type DateStage = "decade" | "year" | "mint";

/** The decades a denomination was struck in, as their first three figures, in order. */
export function decadesOf(d: Denomination): string[] {
  const found = new Set<number>();
  for (const s of d.spans) {
    for (let x = Math.floor(s.first / 10); x <= Math.floor(s.last / 10); x++) found.add(x);
  }
  return [...found].sort((a, b) => a - b).map(String);
}

export const struckIn = (d: Denomination, year: number): boolean =>
  d.spans.some((s) => s.first <= year && year <= s.last);

/** The years of a decade that a denomination was struck in. */
export function yearsIn(d: Denomination, decade: string): string[] {
  return [..."0123456789"].map((n) => decade + n).filter((y) => struckIn(d, Number(y)));
}

/**
 * The year and mint of a coin in three taps: decade, year, mint. Only those
 * that there are can be tapped; figures typed on a keyboard give the year
 * directly, and letters the mint.
 */
export class DateEntry {
  readonly open: Signal<boolean> = signal(false);
  /** The year's first figures; four of them once it is picked. */
  readonly figures: Signal<string> = signal("");
  /** Letters of a mint mark that others begin with too, as C of CC. */
  readonly letters: Signal<string> = signal("");
  readonly stage: ReadonlySignal<DateStage> = computed(() => {
    const n = this.figures.value.length;
    return n === 4 ? "mint" : n === 3 ? "year" : "decade";
  });
  readonly marks: ReadonlySignal<string[]> = computed(() => {
    const d = this.denomination.value;
    return d ? marksFor(d, Number(this.figures.value)) : [];
  });
  /** The year has been picked, and the book has none of it. */
  readonly unknownYear: ReadonlySignal<boolean> = computed(() => {
    const d = this.denomination.value;
    return this.stage.value === "mint" && d !== null && !struckIn(d, Number(this.figures.value));
  });
  /** The date picked last for this denomination. */
  readonly last: ReadonlySignal<PickedDate | null>;

  private date: CoinDate;
  private denomination: ReadonlySignal<Denomination | null>;
  private coin: () => string;
  private lastDates: LastDates;

  /** coin names the denomination for LastDates. */
  constructor(
    date: CoinDate,
    denomination: ReadonlySignal<Denomination | null>,
    coin: () => string,
    lastDates: LastDates,
  ) {
    this.date = date;
    this.denomination = denomination;
    this.coin = coin;
    this.lastDates = lastDates;
    this.last = computed(() => lastDates.of(coin()));
  }

  /** Opens at the decades; nothing to pick from without a denomination. */
  begin(): boolean {
    if (!this.denomination.value) return false;
    batch(() => {
      this.figures.value = "";
      this.letters.value = "";
      this.open.value = true;
    });
    return true;
  }

  close(): void {
    this.open.value = false;
  }

  pickDecade(decade: string): void {
    this.figures.value = decade;
  }

  /** The year is the coin's from now on; a mint that alone struck it is too. */
  pickYear(year: string): void {
    batch(() => {
      this.figures.value = year;
      this.letters.value = "";
      this.date.setYear(year);
      this.date.setMint("");
      const [only, ...others] = this.marks.value;
      if (only !== undefined && others.length === 0 && !this.unknownYear.value) this.pickMint(only);
      else this.remember();
    });
  }

  /** Empty for one that can't be read. */
  pickMint(mint: string): void {
    batch(() => {
      this.date.setMint(mint);
      this.remember();
      this.close();
    });
  }

  /** The date of the last coin holds for this one too. */
  again(): void {
    const last = this.last.value;
    if (!last) return;
    batch(() => {
      this.date.setYear(last.year);
      this.date.setMint(last.mint);
      this.close();
    });
  }

  any(): void {
    batch(() => {
      this.date.clear();
      this.close();
    });
  }

  /** One step back: from the mint to the year's decade, from there to all decades. */
  back(): void {
    batch(() => {
      this.letters.value = "";
      this.figures.value = this.stage.value === "mint" ? this.figures.value.slice(0, 3) : "";
    });
  }

  /** What a key of a keyboard does while this is open; false if nothing. */
  key(key: string): boolean {
    if (key === "Escape") {
      this.close();
      return true;
    }
    if (key === "Backspace") {
      if (this.letters.value) this.letters.value = "";
      else if (this.figures.value) this.figures.value = this.figures.value.slice(0, -1);
      else this.close();
      return true;
    }
    if (this.stage.value === "mint") return this.letter(key);
    if (!/^\d$/.test(key)) return false;
    const figures = this.figures.value + key;
    if (figures.length === 4) this.pickYear(figures);
    else this.figures.value = figures;
    return true;
  }

  private letter(key: string): boolean {
    const marks = this.marks.value;
    if (key === "Enter") {
      const exact = marks.find((m) => m === this.letters.value);
      this.pickMint(exact ?? "");
      return true;
    }
    if ((key === "-" || key === "0") && marks.includes("-")) {
      this.pickMint("-");
      return true;
    }
    const letters = this.letters.value + key.toUpperCase();
    const fitting = marks.filter((m) => m.startsWith(letters));
    const [only, ...others] = fitting;
    if (!/^[a-z]$/i.test(key)) return false;
    if (only === undefined) return true; // no such mint: nothing happens
    if (others.length === 0) this.pickMint(only);
    else this.letters.value = letters;
    return true;
  }

  private remember(): void {
    this.lastDates.put(this.coin(), { year: this.date.year.value, mint: this.date.mint.value });
  }
}
