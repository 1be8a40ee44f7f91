import { batch, effect, type Signal, signal } from "@preact/signals";
import { type LocalStorage, memoryStorage, storedSignal } from "../device/local-storage";
import type { Placement } from "../live/wire";

interface SearchedDate {
  year: string;
  mint: string;
}

function readSearched(k: unknown): SearchedDate | null {
  const { year, mint } = (k ?? {}) as Partial<SearchedDate>;
  return typeof year === "string" && /^(\d{4})?$/.test(year) && typeof mint === "string"
    ? { year, mint }
    : null;
}

/**
 * The year and mint a person has read off the coin. They hold for one coin, so
 * that the next one isn't judged by the date of the last, unless the person
 * searches that one date: then they hold until taken off, also over a visit.
 */
export class CoinDate {
  /** As typed: empty, or up to four figures. */
  readonly year: Signal<string> = signal("");
  /** Empty for any, “-” for no mint mark, or the mark. */
  readonly mint: Signal<string> = signal("");
  /** One date is searched. */
  readonly searched: Signal<boolean> = signal(false);
  /** The load they were given for; null means the next one. */
  private coin: Placement | null = null;
  private onPan: Placement | null = null;

  constructor(storage: LocalStorage = memoryStorage()) {
    const kept = storedSignal(storage, "panside.searched-date", readSearched);
    if (kept.peek()) {
      const { year, mint } = kept.peek() as SearchedDate;
      this.year.value = year;
      this.mint.value = mint;
      this.searched.value = true;
    }
    effect(() => {
      const [year, mint] = [this.year.value, this.mint.value];
      kept.value = this.searched.value && (year || mint) ? { year, mint } : null;
    });
  }

  setYear(year: string): void {
    this.year.value = year.replace(/\D/g, "").slice(0, 4);
    this.coin = this.onPan;
  }

  setMint(mint: string): void {
    this.mint.value = mint;
    this.coin = this.onPan;
  }

  clear(): void {
    batch(() => {
      this.year.value = "";
      this.mint.value = "";
      this.searched.value = false;
    });
    this.coin = this.onPan;
  }

  /** Shows what the holder of the pan has given, whatever coin it is for. */
  follow(year: number, mint: string): void {
    batch(() => {
      this.searched.value = false;
      this.year.value = year > 0 ? String(year) : "";
      this.mint.value = mint;
    });
    this.coin = this.onPan;
  }

  /** A load is on the pan; null when it is empty. */
  load(placement: Placement | null): void {
    this.onPan = placement;
    if (placement === null || this.searched.value) return;
    if (this.coin === null) this.coin = placement;
    if (this.coin === placement) return;
    this.year.value = "";
    this.mint.value = "";
    this.coin = placement;
  }

  /** The year to ask with: 0 until all four figures are there. */
  get askYear(): number {
    return this.year.value.length === 4 ? Number(this.year.value) : 0;
  }
}
