import type { Signal } from "@preact/signals";
import { type LocalStorage, storedSignal } from "./local-storage";

export const themes = ["auto", "light", "dark"] as const;
export type Theme = (typeof themes)[number];

/** Languages a person may choose; “auto” is the device's. The texts that there are say the same list. */
export const languageChoices = ["auto", "en", "es"] as const;
export type LanguageChoice = (typeof languageChoices)[number];

/** The hand whose thumb taps. */
export const handSides = ["right", "left"] as const;
export type Handedness = (typeof handSides)[number];

const strings = (k: unknown): string[] =>
  Array.isArray(k) ? k.filter((w): w is string => typeof w === "string") : [];

/** The person's choices on this device. */
export interface Prefs {
  theme: Signal<Theme>;
  language: Signal<LanguageChoice>;
  country: Signal<string>;
  /** Those whose coins have a key below the scale; never empty. */
  countries: Signal<string[]>;
  /** What this hunter keeps, by the coin book's names for it; null for the list to begin with. */
  keep: Signal<string[] | null>;
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
    language: storedSignal<LanguageChoice>(
      storage,
      "panside.language",
      (k) => languageChoices.find((l) => l === k) ?? "auto",
    ),
    country: storedSignal<string>(storage, "panside.country", (k) => (typeof k === "string" && k ? k : "US")),
    countries: storedSignal<string[]>(storage, "panside.countries", (k) => {
      const chosen = strings(k);
      return chosen.length > 0 ? chosen : ["US"];
    }),
    keep: storedSignal<string[] | null>(storage, "panside.keep", (k) =>
      Array.isArray(k) ? strings(k) : null,
    ),
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
