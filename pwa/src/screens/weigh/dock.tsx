import { useApp, useView } from "../../app/context";
import { I } from "../../app/icons";
import { partIds } from "../../app/keyboard";
import { marksFor } from "../../core/marks";
import type { Denomination } from "../../core/types";
import { text } from "../../text";
import { NumberPad } from "./number-pad";

/** Under the thumb: the year and mint, and one row of denominations. */
export function Dock() {
  const app = useApp();
  return (
    <div class="dock">
      {app.typed.on.value && <NumberPad />}
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

function DateLine() {
  const app = useApp();
  const view = useView();
  const { date } = app;
  const d = app.denomination.value;
  const marks = d ? marksFor(d, date.askYear) : [];
  // What was picked stays to be seen, even if no coin of the year bears it.
  if (date.mint.value && !marks.includes(date.mint.value)) marks.push(date.mint.value);
  const given = date.year.value !== "" || date.mint.value !== "";
  const more = app.denominations.value.length > app.keys.value.length;
  const outside = d !== null && !app.keys.value.includes(d);
  const badYear = date.halfTyped && (app.typed.on.value ? app.typed : app.judging).current.value !== null;
  return (
    <div class="date-line" role="group" aria-label={text.date.label}>
      <label class="field">
        <span>{text.date.year}</span>
        <input
          id={partIds.year}
          name="year"
          inputMode="numeric"
          autocomplete="off"
          maxLength={4}
          placeholder={text.date.any}
          value={date.year.value}
          aria-invalid={badYear || undefined}
          title={text.date.badYear}
          onInput={(e) => date.setYear(e.currentTarget.value)}
          onKeyDown={(e) => {
            if (e.key === "Enter" || e.key === "Escape") e.currentTarget.blur();
          }}
        />
      </label>
      <label class="field">
        <span>{text.date.mint}</span>
        <select name="mint" value={date.mint.value} onChange={(e) => date.setMint(e.currentTarget.value)}>
          <option value="">{text.date.mintAny}</option>
          {marks.map((m) => (
            <option key={m} value={m}>
              {m === "-" ? text.date.mintNone : m}
            </option>
          ))}
        </select>
      </label>
      {given && (
        <>
          <button
            type="button"
            class="field-button"
            data-do="every-coin"
            aria-pressed={date.everyCoin.value}
            onClick={() => {
              date.everyCoin.value = !date.everyCoin.value;
            }}
          >
            <span class="unseen">{text.date.scopeLabel}</span>
            {date.everyCoin.value ? text.date.scopeEvery : text.date.scopeCoin}
          </button>
          <button type="button" class="icon-button" data-do="clear-date" onClick={() => date.clear()}>
            <I name="clear" />
            <span class="unseen">{text.date.clear}</span>
          </button>
        </>
      )}
      {!given && more && (
        <button
          type="button"
          class="field-button"
          data-do="more"
          data-outside={outside || undefined}
          onClick={() => {
            view.sheet.value = "denominations";
          }}
        >
          {outside && d ? d.name : text.keys.more}
        </button>
      )}
    </div>
  );
}
