import { effect, type Signal, signal } from "@preact/signals";

/** What is kept between visits, as far as the browser lets us. */
export interface Shelf {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

/** The browser's storage, or a memory of this visit where it is forbidden. */
export function browserShelf(): Shelf {
  try {
    const probe = "panside.probe";
    localStorage.setItem(probe, "1");
    localStorage.removeItem(probe);
    return localStorage;
  } catch {
    const memory = new Map<string, string>();
    return {
      getItem: (k) => memory.get(k) ?? null,
      setItem: (k, v) => void memory.set(k, v),
      removeItem: (k) => void memory.delete(k),
    };
  }
}

/** Reads a kept JSON value; null when there is none or it is damaged. */
export function readKept(shelf: Shelf, key: string): unknown {
  try {
    return JSON.parse(shelf.getItem(key) ?? "null");
  } catch {
    return null;
  }
}

/** A signal whose value is kept under key; read turns what was kept into a value. */
export function keptSignal<T>(shelf: Shelf, key: string, read: (kept: unknown) => T): Signal<T> {
  const s = signal(read(readKept(shelf, key)));
  let first = true;
  effect(() => {
    const value = s.value;
    if (first) {
      first = false;
      return;
    }
    try {
      shelf.setItem(key, JSON.stringify(value));
    } catch {
      // Storage is full or was taken away: the choice holds for this visit.
    }
  });
  return s;
}
