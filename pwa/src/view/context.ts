import { type Signal, signal } from "@preact/signals";
import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { App } from "../app/interface";
import { browserInstall, type Install } from "./install";
import { OfflineCopy } from "./offline";
import { SharedPhotos } from "./shared-photos";

/** The sheets that slide over a screen; one at a time. */
export type SheetName =
  | "settings"
  | "keyboard"
  | "practice"
  | "denominations"
  | "tools"
  | "keep-list"
  | "rejoin"
  | "hands-options"
  | "hands-summary"
  | "aside";

/** What is open on this page; gone when it is left. */
export interface View {
  sheet: Signal<SheetName | null>;
  /** The set-aside coin that is open, by its id. */
  aside: Signal<string>;
  /** The points of what to inspect that stand open, by their keys: a settled weight may move one on the list. */
  openPoints: Signal<ReadonlySet<string>>;
  /** The address's part after #/, which names the screen. */
  place: Signal<string>;
  /** The copy of the app on this device. */
  copy: OfflineCopy;
  /** The way among the device's apps. */
  install: Install;
  /** Photos shared to the app that wait for a find. */
  shared: SharedPhotos;
  /** What the coin book is searched for, so that a coin’s page leads back to the same list. */
  book: { search: Signal<string>; country: Signal<string>; denomination: Signal<string> };
  /** What was typed into each tool’s form, kept while the weighing screen is looked at. */
  forms: Map<string, Signal<Record<string, string>>>;
}

export function createView(): View {
  return {
    sheet: signal(null),
    aside: signal(""),
    openPoints: signal(new Set<string>()),
    place: signal(""),
    copy: new OfflineCopy(() => location.reload()),
    install: browserInstall(),
    shared: new SharedPhotos(),
    book: { search: signal(""), country: signal("US"), denomination: signal("") },
    forms: new Map(),
  };
}

const Context = createContext<{ app: App; view: View } | null>(null);

export const Provide = Context.Provider;

function useBoth() {
  const both = useContext(Context);
  if (!both) throw new Error("a screen outside the app");
  return both;
}

export const useApp = (): App => useBoth().app;
export const useView = (): View => useBoth().view;
