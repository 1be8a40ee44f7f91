import { type Signal, signal } from "@preact/signals";
import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { App } from "../store/app";

/** The sheets that slide over a screen; one at a time. */
export type SheetName = "settings" | "keys" | "practice" | "denominations";

/** What is open on this page; gone when it is left. */
export interface View {
  sheet: Signal<SheetName | null>;
  /** The address's part after #/, which names the screen. */
  place: Signal<string>;
}

export function createView(): View {
  return { sheet: signal(null), place: signal("") };
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
