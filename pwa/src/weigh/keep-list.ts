import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { readWanted } from "../core/read";
import type { Country, Named, Want } from "../core/types";

/**
 * What this hunter keeps: the coin book's wants and dates of their own. Until
 * something is changed it is the list that the core begins with, which is left
 * to the core; the first change writes it down.
 */
export class KeepList {
  /** What was changed last, to be taken back by one tap; null if nothing was. */
  readonly undoable: Signal<{ added: boolean; names: string[] } | null> = signal(null);
  /** The book's wants, in its order, by country. */
  readonly wants: ReadonlySignal<{ country: Country; wants: Want[] }[]>;
  /** The ids and dates on the list. */
  readonly entries: ReadonlySignal<string[]>;
  /** Those that are no wants of the book. */
  readonly dates: ReadonlySignal<string[]>;
  private keep: Signal<string[] | null>;
  private before: string[] | null = null;
  private core: CoreClient;

  constructor(core: CoreClient, keep: Signal<string[] | null>, countries: ReadonlySignal<Country[] | null>) {
    this.core = core;
    this.keep = keep;
    this.wants = computed(() =>
      (countries.value ?? []).flatMap((country) =>
        country.wants.length > 0 ? [{ country, wants: country.wants }] : [],
      ),
    );
    const all = computed(() => this.wants.value.flatMap((c) => c.wants));
    // Countries share ids: who keeps silver keeps it from anywhere.
    this.entries = computed(() => [
      ...new Set(this.keep.value ?? all.value.filter((w) => w.start).map((w) => w.id)),
    ]);
    this.dates = computed(() => this.entries.value.filter((e) => !all.value.some((w) => w.id === e)));
  }

  /** As a part of a question; the list to begin with is the core's own. */
  get asked(): { keep?: string[] } {
    return this.keep.value ? { keep: this.keep.value } : {};
  }

  /** What the core understands of an entry as it is typed, like “cent 1909 s”; none if nothing. */
  async meant(entry: string): Promise<Named[]> {
    if (!entry.trim()) return [];
    const answer = await this.core.call("keep", { entry });
    return "ok" in answer ? readWanted(answer.ok) : [];
  }

  add(wanted: readonly Named[]): void {
    const known = this.entries.peek();
    this.become([...known, ...wanted.map((w) => w.id).filter((id) => !known.includes(id))], true, wanted);
  }

  remove(wanted: Named): void {
    this.become(
      this.entries.peek().filter((e) => e !== wanted.id),
      false,
      [wanted],
    );
  }

  undo(): void {
    if (!this.undoable.peek()) return;
    batch(() => {
      this.keep.value = this.before;
      this.undoable.value = null;
    });
  }

  /** What was changed is old news by now. */
  settle(): void {
    this.undoable.value = null;
  }

  private become(entries: string[], added: boolean, names: readonly Named[]): void {
    batch(() => {
      this.before = this.keep.peek();
      this.keep.value = entries;
      this.undoable.value = { added, names: names.map((w) => w.name) };
    });
  }
}
