import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I } from "../../view/icons";
import { partIds } from "../../view/keyboard";
import type { PickedDate } from "../../weigh/coin-date-last";

/** The year and mint given, the last ones for one tap, and for how long they hold. */
export function DateLine() {
  const app = useApp();
  const view = useView();
  const { date, dateEntry } = app;
  const d = app.denomination.value;
  const given = date.year.value !== "" || date.mint.value !== "";
  const last = dateEntry.last.value;
  const more = app.denominations.value.length > app.keys.value.length;
  const outside = d !== null && !app.keys.value.includes(d);
  return (
    <div class="date-line" role="group" aria-label={text.date.label}>
      <button
        type="button"
        id={partIds.year}
        class="field date-open"
        data-do="enter-date"
        disabled={!d}
        onClick={() => app.enterDate()}
      >
        <span>{text.dateEntry.open}</span>
        <span class="date-given figures" data-part="date">
          {given ? dateWords({ year: date.year.value, mint: date.mint.value }) : text.dateEntry.any}
        </span>
      </button>
      {!given && d && last && (
        <button
          type="button"
          class="field date-again"
          data-do="same-date"
          onClick={() => {
            if (app.enterDate()) dateEntry.again();
          }}
        >
          <span>{text.dateEntry.again}</span>
          <span class="figures">{dateWords(last)}</span>
        </button>
      )}
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

/** “1982 D”, “1964, no mark”, “1955, mint not read”. */
function dateWords({ year, mint }: PickedDate): string {
  if (mint === "") return text.dateEntry.date(year, text.dateEntry.anyMint);
  if (mint === "-") return text.dateEntry.date(year, text.dateEntry.noMark);
  return `${year} ${mint}`.trim();
}
