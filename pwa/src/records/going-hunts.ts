import { batch, type Signal, signal } from "@preact/signals";
import type { Hunt } from "../core/journal";
import type { Journal } from "./journal";

/** The hunts of the journal, and which of them goes on. */
export class GoingHunts {
  readonly hunts: Signal<Hunt[]> = signal([]);
  /** Deleted ones too, which finds may still be of. */
  readonly all: Signal<Hunt[]> = signal([]);
  /** The hunt that goes on now, and that coins are counted for. */
  readonly running: Signal<Hunt | null> = signal(null);
  /** Others that go on too, and that nothing is counted for. */
  readonly idle: Signal<Hunt[]> = signal([]);
  private journal: Pick<Journal, "hunts">;

  constructor(journal: Pick<Journal, "hunts">) {
    this.journal = journal;
  }

  /** Reads them anew; what can't be read stays as it was. */
  async refresh(): Promise<void> {
    try {
      const { hunts, counting } = await this.journal.hunts();
      batch(() => {
        this.all.value = hunts;
        this.hunts.value = hunts.filter((h) => !h.deleted);
        const going = this.hunts.value.filter((h) => h.state === "going");
        this.running.value = going.find((h) => h.record === counting) ?? null;
        this.idle.value = going.filter((h) => h.record !== counting);
      });
    } catch {
      // Said where it is looked at.
    }
  }
}
