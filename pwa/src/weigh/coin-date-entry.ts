import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { marksFor } from "../core/marks";
import type { Denomination } from "../core/types";
import type { CoinDate } from "./coin-date";
import type { LastDates, PickedDate } from "./coin-date-last";

/** What is asked for next: a run of years, a date of that run, or the mint of a year that was typed. */
export type DateStage = "run" | "date" | "mint";

/** A run is as many years as have room for their mint marks beside them. */
const runYears = 5;

/** The runs a denomination was struck in, by their first years, in order. */
export function runsOf(d: Denomination): number[] {
  const found = new Set<number>();
  for (const s of d.spans) {
    for (let run = runOf(s.first); run <= s.last; run += runYears) found.add(run);
  }
  return [...found].sort((a, b) => a - b);
}

const runOf = (year: number): number => year - (year % runYears);

export const lastOf = (run: number): number => run + runYears - 1;

export const struckIn = (d: Denomination, year: number): boolean =>
  d.spans.some((s) => s.first <= year && year <= s.last);

/** The years of a run that a denomination was struck in. */
export function yearsIn(d: Denomination, run: number): string[] {
  return Array.from({ length: runYears }, (_, i) => run + i)
    .filter((y) => struckIn(d, y))
    .map(String);
}

/**
 * The year and mint of a coin in two taps after the one that opens this: five
 * years, then the date with its mint. Only those that there are can be tapped;
 * figures typed on a keyboard give the year directly, and letters the mint.
 */
export class DateEntry {
  readonly open: Signal<boolean> = signal(false);
  /** The first year of the run that was picked; 0 before. */
  readonly run: Signal<number> = signal(0);
  /** The first figures of a year that is typed. */
  readonly figures: Signal<string> = signal("");
  /** Letters of a mint mark that others begin with too, as C of CC. */
  readonly letters: Signal<string> = signal("");
  readonly stage: ReadonlySignal<DateStage> = computed(() =>
    this.figures.value.length === 4 ? "mint" : this.run.value ? "date" : "run",
  );
  /** Of the year that was typed. */
  readonly marks: ReadonlySignal<string[]> = computed(() => this.marksOf(this.figures.value));
  /** The year was typed, and the book has none of it. */
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

  /** Opens at the runs; nothing to pick from without a denomination. */
  begin(): boolean {
    if (!this.denomination.value) return false;
    batch(() => {
      this.restart();
      this.open.value = true;
    });
    return true;
  }

  close(): void {
    this.open.value = false;
  }

  /** The mint marks of a year, “-” for none. */
  marksOf(year: string): string[] {
    const d = this.denomination.value;
    return d ? marksFor(d, Number(year)) : [];
  }

  pickRun(first: number): void {
    batch(() => {
      this.restart();
      this.run.value = first;
    });
  }

  /** A date of the run; an empty mint is one that can't be read. */
  pick(year: string, mint: string): void {
    batch(() => {
      this.date.setYear(year);
      this.date.setMint(mint);
      this.remember();
      this.close();
    });
  }

  /** The date of the last coin holds for this one too. */
  again(): void {
    const last = this.last.value;
    if (last) this.pick(last.year, last.mint);
  }

  any(): void {
    batch(() => {
      this.date.clear();
      this.close();
    });
  }

  /** Back to the runs. */
  back(): void {
    batch(() => this.restart());
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
      else if (this.run.value) this.run.value = 0;
      else this.close();
      return true;
    }
    if (this.stage.value === "mint") return this.letter(key);
    if (!/^\d$/.test(key)) return false;
    batch(() => {
      // After a tapped run only the last figure is missing.
      if (this.run.value) this.figures.value = String(this.run.value).slice(0, 3);
      this.run.value = 0;
      this.figures.value += key;
      if (this.figures.value.length === 4) this.typedYear(this.figures.value);
    });
    return true;
  }

  /** The year is the coin's from now on; a mint that alone struck it is too. */
  private typedYear(year: string): void {
    this.letters.value = "";
    this.date.setYear(year);
    this.date.setMint("");
    const [only, ...others] = this.marks.value;
    if (only !== undefined && others.length === 0 && !this.unknownYear.value) this.pick(year, only);
    else this.remember();
  }

  private letter(key: string): boolean {
    const year = this.figures.value;
    const marks = this.marks.value;
    if (key === "Enter") {
      this.pick(year, marks.find((m) => m === this.letters.value) ?? "");
      return true;
    }
    if ((key === "-" || key === "0") && marks.includes("-")) {
      this.pick(year, "-");
      return true;
    }
    if (!/^[a-z]$/i.test(key)) return false;
    const letters = this.letters.value + key.toUpperCase();
    const [only, ...others] = marks.filter((m) => m.startsWith(letters));
    if (only === undefined) return true; // no such mint: nothing happens
    if (others.length === 0) this.pick(year, only);
    else this.letters.value = letters;
    return true;
  }

  private restart(): void {
    this.run.value = 0;
    this.figures.value = "";
    this.letters.value = "";
  }

  private remember(): void {
    this.lastDates.put(this.coin(), { year: this.date.year.value, mint: this.date.mint.value });
  }
}
