import { type Signal, signal } from "@preact/signals";
import type { Placement } from "../live/wire";

/**
 * The year and mint a person has read off the coin. They hold for one coin, so
 * that the next one isn't judged by the date of the last, unless the person
 * says they hold for every coin (a roll of one date).
 */
export class CoinDate {
  /** As typed: empty, or up to four figures. */
  readonly year: Signal<string> = signal("");
  /** Empty for any, “-” for no mint mark, or the mark. */
  readonly mint: Signal<string> = signal("");
  readonly everyCoin: Signal<boolean> = signal(false);
  /** The load they were given for; null means the next one. */
  private coin: Placement | null = null;
  private onPan: Placement | null = null;

  setYear(year: string): void {
    this.year.value = year.replace(/\D/g, "").slice(0, 4);
    this.coin = this.onPan;
  }

  setMint(mint: string): void {
    this.mint.value = mint;
    this.coin = this.onPan;
  }

  clear(): void {
    this.year.value = "";
    this.mint.value = "";
    this.coin = this.onPan;
  }

  /** Shows what the holder of the pan has given, whatever coin it is for. */
  follow(year: number, mint: string): void {
    this.year.value = year > 0 ? String(year) : "";
    this.mint.value = mint;
    this.coin = this.onPan;
  }

  /** A load is on the pan; null when it is empty. */
  load(placement: Placement | null): void {
    this.onPan = placement;
    if (placement === null || this.everyCoin.value) return;
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
