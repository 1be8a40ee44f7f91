import { type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { readCountries, readSheet } from "../core/read";
import type { Country, Sheet } from "../core/types";

export interface SheetQuestion {
  country: string;
  denomination: string;
  year: number;
  mint: string;
  /** From an older core's verdict; what a newer one leaves to inspect is in fields of its own. */
  hint?: string;
  [inspect: string]: unknown;
}

/** What the inspection list shows; a sheet says what it was asked of, since it may still be the one before. */
export type SheetView =
  | { is: "none" }
  | { is: "loading" }
  | { is: "failed"; sentence: string }
  | { is: "sheet"; sheet: Sheet; of: SheetQuestion };

const sheetKey = (q: SheetQuestion): string => JSON.stringify(q);

const keptSheets = 60;

/** The coin book's keys and the inspection sheets, asked of the core once each. */
export class Catalogue {
  readonly countries: Signal<Country[] | null> = signal(null);
  readonly sheet: Signal<SheetView> = signal({ is: "none" });
  private core: CoreClient;
  private sheets = new Map<string, Sheet>();
  private wanted = "";
  private loading = false;
  /** The language the keys came in. */
  private spoken = "";

  constructor(core: CoreClient) {
    this.core = core;
  }

  /** Loads the keys; to be tried again whenever a core may have come within reach. */
  async loadKeys(): Promise<void> {
    const language = this.core.language.value;
    if (this.loading || (this.countries.value && this.spoken === language)) return;
    this.loading = true;
    const answer = await this.core.call("book", {});
    this.loading = false;
    if ("error" in answer) return;
    const countries = readCountries(answer.ok);
    if (countries.length === 0) return;
    this.spoken = language;
    this.countries.value = countries;
    if (this.core.language.peek() !== language) await this.loadKeys();
  }

  /** Shows the sheet for a question; the old one stays until the new one is there. */
  async want(q: SheetQuestion): Promise<void> {
    const key = `${this.core.language.value} ${sheetKey(q)}`;
    const failed = this.sheet.peek().is === "failed"; // peeked: an effect asks, and must not run again by its own answer
    if (key === this.wanted && !failed) return;
    this.wanted = key;
    if (!q.denomination) {
      this.sheet.value = { is: "none" };
      return;
    }
    const kept = this.sheets.get(key);
    if (kept) {
      this.sheet.value = { is: "sheet", sheet: kept, of: q };
      return;
    }
    if (this.sheet.peek().is !== "sheet") this.sheet.value = { is: "loading" };
    const answer = await this.core.call("look", q);
    if ("ok" in answer) this.keep(key, readSheet(answer.ok));
    if (key !== this.wanted) return;
    this.sheet.value =
      "ok" in answer
        ? { is: "sheet", sheet: readSheet(answer.ok), of: q }
        : { is: "failed", sentence: answer.error.sentence };
  }

  private keep(key: string, sheet: Sheet): void {
    if (this.sheets.size >= keptSheets) {
      const oldest = this.sheets.keys().next().value;
      if (oldest !== undefined) this.sheets.delete(oldest);
    }
    this.sheets.set(key, sheet);
  }
}
