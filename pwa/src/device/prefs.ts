import type { Signal } from "@preact/signals";
import { type LocalStorage, storedSignal } from "./local-storage";

export const themes = ["auto", "light", "dark"] as const;
export type Theme = (typeof themes)[number];

/** The hand whose thumb taps. */
export const handSides = ["right", "left"] as const;
export type Handedness = (typeof handSides)[number];

/** The person's choices on this device. */
export interface Prefs {
  theme: Signal<Theme>;
  country: Signal<string>;
  /** Empty until one was tapped. */
  denomination: Signal<string>;
  handedness: Signal<Handedness>;
  shortcuts: Signal<boolean>;
  /** The first steps were read. */
  hintsDone: Signal<boolean>;
}

export function createPrefs(storage: LocalStorage): Prefs {
  return {
    theme: storedSignal<Theme>(storage, "panside.theme", (k) => themes.find((t) => t === k) ?? "auto"),
    country: storedSignal<string>(storage, "panside.country", (k) => (typeof k === "string" && k ? k : "US")),
    denomination: storedSignal<string>(storage, "panside.denomination", (k) =>
      typeof k === "string" ? k : "",
    ),
    handedness: storedSignal<Handedness>(
      storage,
      "panside.hand",
      (k) => handSides.find((h) => h === k) ?? "right",
    ),
    shortcuts: storedSignal<boolean>(storage, "panside.shortcuts", (k) => k !== false),
    hintsDone: storedSignal<boolean>(storage, "panside.hints-done", (k) => k === true),
  };
}
