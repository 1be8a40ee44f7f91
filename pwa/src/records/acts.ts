import { batch, type Signal, signal } from "@preact/signals";
import type { Written } from "../core/journal";
import type { Change, Journal } from "./journal";
import { type Trouble, troubleOf } from "./trouble";

/** What was done last, to be taken back by one tap. */
export interface Act {
  /** What the words call it. */
  what: "kept" | "saved" | "deleted" | "restored" | "photo" | "undone" | "redone" | "hunt";
  record: string;
  kind: "find" | "hunt";
  /** The ids of the entries it wrote. */
  entries: string[];
}

/** Writes in the journal, remembers what was written last, and takes it back. */
export class Acts {
  readonly last: Signal<Act | null> = signal(null);
  /** Why the last act couldn't be done; null if it could. */
  readonly trouble: Signal<Trouble | null> = signal(null);
  private journal: Pick<Journal, "write" | "undo">;
  private onWritten: () => void;

  constructor(journal: Pick<Journal, "write" | "undo">, onWritten: () => void) {
    this.journal = journal;
    this.onWritten = onWritten;
  }

  /** Writes fields of a find or a hunt; null if that failed. */
  write(what: Act["what"], change: Change): Promise<Written | null> {
    return this.try(what, change.kind, () => this.journal.write(change));
  }

  /** Does what writes in the journal; null if that failed, and then trouble says why. */
  async try(what: Act["what"], kind: Act["kind"], act: () => Promise<Written>): Promise<Written | null> {
    try {
      const written = await act();
      this.done(what, kind, written);
      return written;
    } catch (cause) {
      this.failed(cause);
      return null;
    }
  }

  /** Notes what was written elsewhere. What wrote nothing is nothing to be taken back. */
  done(what: Act["what"], kind: Act["kind"], { record, entries }: Written): void {
    batch(() => {
      this.trouble.value = null;
      if (entries.length > 0) this.last.value = { what, kind, record, entries: entries.map((e) => e.id) };
    });
    this.onWritten();
  }

  failed(cause: unknown): void {
    this.trouble.value = troubleOf(cause);
  }

  /** Takes an act back, which is an act too; returns that, or null if it failed. */
  async undo(act: Act): Promise<Act | null> {
    const what = act.what === "undone" ? "redone" : "undone";
    const written = await this.try(what, act.kind, () => this.journal.undo(act.entries));
    return written && this.last.peek();
  }
}
