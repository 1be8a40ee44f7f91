import { keptSignal, type Shelf } from "./kept";

export const themes = ["auto", "light", "dark"] as const;
export type Theme = (typeof themes)[number];

/** The hand whose thumb taps. */
export const handSides = ["right", "left"] as const;
export type HandSide = (typeof handSides)[number];

/** The person's choices on this device. */
export function createPrefs(shelf: Shelf) {
  return {
    theme: keptSignal<Theme>(shelf, "panside.theme", (k) => themes.find((t) => t === k) ?? "auto"),
    country: keptSignal<string>(shelf, "panside.country", (k) => (typeof k === "string" && k ? k : "US")),
    /** Empty until one was tapped. */
    denomination: keptSignal<string>(shelf, "panside.denomination", (k) => (typeof k === "string" ? k : "")),
    hand: keptSignal<HandSide>(shelf, "panside.hand", (k) => handSides.find((h) => h === k) ?? "right"),
    shortcuts: keptSignal<boolean>(shelf, "panside.shortcuts", (k) => k !== false),
    /** The first steps were read. */
    hintsDone: keptSignal<boolean>(shelf, "panside.hints-done", (k) => k === true),
  };
}
