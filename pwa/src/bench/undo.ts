import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";

/** A value with its way back. Changes made in one go, as by one drag, are taken back in one. */
export class Undoable<T> {
  readonly now: ReadonlySignal<T>;
  readonly canUndo: ReadonlySignal<boolean>;
  readonly canRedo: ReadonlySignal<boolean>;
  private value: Signal<T>;
  private past: Signal<T[]> = signal([]);
  private future: Signal<T[]> = signal([]);
  private going: string | null = null;

  constructor(first: T) {
    this.value = signal(first);
    this.now = computed(() => this.value.value);
    this.canUndo = computed(() => this.past.value.length > 0);
    this.canRedo = computed(() => this.future.value.length > 0);
  }

  /** Sets it; further changes of the same go, if one is named, need no undo of their own. */
  set(next: T, go: string | null = null): void {
    if (go === null || go !== this.going) this.past.value = [...this.past.value, this.value.value];
    this.going = go;
    this.future.value = [];
    this.value.value = next;
  }

  /** Completes it, as by an answer that was waited for: nothing of it is to be taken back alone. */
  mend(next: T): void {
    this.value.value = next;
  }

  /** The go is over: a change after it is one of its own, though it is named alike. */
  rest(): void {
    this.going = null;
  }

  undo(): void {
    const was = this.past.value.at(-1);
    if (was === undefined) return;
    this.future.value = [...this.future.value, this.value.value];
    this.past.value = this.past.value.slice(0, -1);
    this.going = null;
    this.value.value = was;
  }

  redo(): void {
    const next = this.future.value.at(-1);
    if (next === undefined) return;
    this.past.value = [...this.past.value, this.value.value];
    this.future.value = this.future.value.slice(0, -1);
    this.going = null;
    this.value.value = next;
  }
}
