import type { Denomination } from "../../core/types";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { DateLine } from "./date-line";
import { DatePanel } from "./date-panel";
import { WatchBar } from "./hands-pan";
import { KeepLine } from "./keep-line";
import { NumberPad } from "./number-pad";

/** Under the thumb: the year and mint, and one row of denominations. */
export function Dock() {
  const app = useApp();
  if (app.pan.state.value.is === "other" && !app.typed.on.value) {
    return (
      <div class="dock">
        <KeepLine />
        <WatchBar />
      </div>
    );
  }
  if (app.dateEntry.open.value) {
    return (
      <div class="dock">
        <DatePanel />
      </div>
    );
  }
  return (
    <div class="dock">
      {app.typed.on.value && <NumberPad />}
      <KeepLine />
      <DateLine />
      <DenominationKeys />
    </div>
  );
}

function DenominationKeys() {
  const app = useApp();
  const keys = app.keys.value;
  const picked = app.prefs.denomination.value;
  const widest = Math.max(1, ...keys.map((d) => d.diameter_mm ?? 0));
  if (keys.length === 0) return <p class="quiet keys-empty">{text.keys.loading}</p>;
  return (
    <div class="keys" role="group" aria-label={text.keys.label} data-count={Math.min(8, keys.length)}>
      {keys.map((d) => (
        <button
          key={d.id}
          type="button"
          class="key"
          data-denomination={d.id}
          aria-pressed={d.id === picked}
          onClick={() => app.pick(d.id)}
        >
          <Outline d={d} widest={widest} />
          <span class="key-short">{d.short || d.name}</span>
          <span class="key-name">{d.name}</span>
        </button>
      ))}
    </div>
  );
}

/** The coin's outline at its true size beside the other keys, reeded or plain. */
function Outline({ d, widest }: { d: Denomination; widest: number }) {
  if (d.diameter_mm === null) return null;
  const r = (23 * d.diameter_mm) / widest;
  return (
    <svg class="key-outline" viewBox="0 0 48 48" aria-hidden="true" focusable="false">
      <circle cx="24" cy="24" r={r} />
      {d.edge === "reeded" && <circle class="reeds" cx="24" cy="24" r={r - 1.4} />}
    </svg>
  );
}
