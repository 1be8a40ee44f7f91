import { useEffect, useRef } from "preact/hooks";
import type { Denomination } from "../../core/types";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I } from "../../view/icons";
import { CameraKeys, readsByCamera } from "./camera-keys";
import { DateLine } from "./date-line";
import { DatePanel } from "./date-panel";
import { WatchBar } from "./hands-pan";
import { KeepLine } from "./keep-line";
import { NumberPad } from "./number-pad";

/** Under the thumb: the year and mint, and one row of denominations. */
export function Dock() {
  const app = useApp();
  if (app.panControl.state.value.is === "other" && !app.manualWeight.on.value) {
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
      {app.manualWeight.on.value && (readsByCamera(app) ? <CameraKeys /> : <NumberPad />)}
      <div class="dock-line">
        <KeepLine />
        <DateLine />
      </div>
      <DenominationKeys />
    </div>
  );
}

function DenominationKeys() {
  const app = useApp();
  const view = useView();
  const keys = app.denominationButtons.value;
  const picked = app.denomination.value;
  const widest = Math.max(1, ...keys.map((d) => d.diameter_mm ?? 0));
  const row = useRef<HTMLDivElement>(null);
  // The picked key of a long row is in sight.
  useEffect(() => {
    row.current
      ?.querySelector('[aria-pressed="true"]')
      ?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }, [picked, keys]);
  const several = keys.some((d) => d.country !== keys[0]?.country);
  const outside = picked !== null && !keys.includes(picked);
  if (app.catalogue.countries.value === null) return <p class="quiet keys-empty">{text.keys.loading}</p>;
  return (
    <div
      ref={row}
      class="keys"
      role="group"
      aria-label={text.keys.label}
      data-many={keys.length > 8 || undefined}
    >
      {keys.map((d) => (
        <button
          key={`${d.country}/${d.id}`}
          type="button"
          class="key"
          data-denomination={d.id}
          data-country={d.country}
          aria-pressed={d === picked}
          onClick={() => app.pick(d.id, d.country)}
        >
          <Face d={d} widest={widest} country={several} />
        </button>
      ))}
      <button
        type="button"
        class="key key-others"
        data-do="more"
        data-outside={outside || undefined}
        onClick={() => {
          view.sheet.value = "denominations";
        }}
      >
        {outside && picked ? (
          <Face d={picked} widest={picked.diameter_mm ?? 1} country={picked.country !== keys[0]?.country} />
        ) : (
          <>
            <I name="others" />
            <span class="key-name">{text.keys.others}</span>
          </>
        )}
      </button>
    </div>
  );
}

/** No longer name has room on a key; its value says enough. */
const longestName = 12;

/** The coin at its true size beside the other keys, and its value below it: neither lies over the other. */
function Face({ d, widest, country }: { d: Denomination; widest: number; country: boolean }) {
  const long = d.name.length > longestName;
  return (
    <>
      <Outline d={d} widest={widest} />
      <span class="key-short">{d.short || d.name}</span>
      {country && <span class="key-name">{d.country}</span>}
      <span class={country || long ? "unseen" : "key-name"}>{d.name}</span>
    </>
  );
}

function Outline({ d, widest }: { d: Denomination; widest: number }) {
  if (d.diameter_mm === null) return null;
  const r = (22 * d.diameter_mm) / widest;
  return (
    <svg class="key-outline" viewBox="0 0 48 48" aria-hidden="true" focusable="false">
      <circle cx="24" cy={47 - r} r={r} />
      {d.edge === "reeded" && <circle class="reeds" cx="24" cy={47 - r} r={r - 2} />}
    </svg>
  );
}
