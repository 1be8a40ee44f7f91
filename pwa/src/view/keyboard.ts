import type { App } from "../app/app";
import type { View } from "./context";
import { recordsAt, toolAt } from "./places";

/** What a single key does. The help sheet lists them in this order. */
export const shortcutKeys = {
  denominations: "1 … 9",
  year: "y",
  clear: "x",
  hands: "h",
  keep: "k",
  type: "t",
  details: "a",
  inspect: "i",
  help: "?",
  close: "Esc",
} as const;

/** The parts of the page that keys go to. */
export const partIds = { year: "year", verdict: "verdict", inspect: "inspect", alloys: "alloys" } as const;

/** Whether a key press belongs to what has the focus, such as a field being typed in. */
function takenByFocus(target: EventTarget | null): boolean {
  const el = target as HTMLElement | null;
  return !!el?.closest?.("input, select, textarea, [contenteditable]");
}

export function listenToKeys(app: App, view: View): void {
  addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (takenByFocus(e.target) || view.sheet.value !== null) return;
    if (app.session.state.value.at !== "joined") return;
    if (app.hands.on.value && handsKey(app.hands, e, view.place.value)) {
      e.preventDefault();
      return;
    }
    if (toolAt(view.place.value)) return;
    if (recordsAt(view.place.value)) return;
    // Typing a weight was asked for, so it isn't one of the shortcuts to switch off.
    if (app.typed.on.value && typeWeight(app.typed, e.key, e.target)) {
      e.preventDefault();
      return;
    }
    if (!app.prefs.shortcuts.value || e.repeat) return;
    if (act(e.key)) e.preventDefault();
  });

  function act(key: string): boolean {
    if (/^[1-9]$/.test(key)) {
      const d = app.keys.value[Number(key) - 1];
      if (d) app.pick(d.id);
      return !!d;
    }
    switch (key) {
      case shortcutKeys.year:
        return app.enterDate();
      case shortcutKeys.clear:
        app.date.clear();
        return true;
      case shortcutKeys.hands:
        app.beginHands();
        return true;
      case shortcutKeys.keep: {
        const held = app.heldCoin.held.value;
        if (held) void app.finds.value?.keep(held);
        return held !== null;
      }
      case shortcutKeys.type:
        app.typed.on.value = true;
        return true;
      case shortcutKeys.details: {
        const alloys = document.getElementById(partIds.alloys);
        if (alloys instanceof HTMLDetailsElement) alloys.open = !alloys.open;
        return true;
      }
      case shortcutKeys.inspect:
        return focus(partIds.inspect);
      case shortcutKeys.help:
        view.sheet.value = "keys";
        return true;
      default:
        return false;
    }
  }
}

/**
 * A key in a sitting. The pedal's works whatever is looked at; the others only
 * where the sitting is, and not on a control, whose key it then is.
 */
function handsKey(hands: App["hands"], e: KeyboardEvent, place: string): boolean {
  const pedal = e.key === hands.prefs.pedalKey.value;
  const onControl = !!(e.target as HTMLElement | null)?.closest?.("button, a, summary");
  if (!pedal && (toolAt(place) || recordsAt(place) || (e.key === " " && onControl))) return false;
  if (e.repeat) return pedal;
  return hands.key(e.key);
}

/** A key while weights are typed; false when it is none of theirs. */
function typeWeight(typed: App["typed"], key: string, target: EventTarget | null): boolean {
  if (/^[0-9.,]$/.test(key)) {
    typed.press(key === "," ? "." : key);
    return true;
  }
  switch (key) {
    case "Backspace":
      typed.undo();
      return true;
    case "Enter":
      // On a control it is that control's key.
      if ((target as HTMLElement | null)?.closest?.("button, a, summary")) return false;
      typed.next();
      return true;
    case shortcutKeys.close:
    case "Escape":
      typed.on.value = false;
      return true;
    default:
      return false;
  }
}

function focus(id: string): boolean {
  const el = document.getElementById(id);
  el?.focus();
  el?.scrollIntoView({ block: "nearest" });
  return !!el;
}
