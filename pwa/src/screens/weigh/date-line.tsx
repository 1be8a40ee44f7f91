import { text } from "../../text";
import { useApp } from "../../view/context";
import { partIds } from "../../view/keyboard";
import type { PickedDate } from "../../weigh/coin-date-last";

/** The year and mint given, the last ones for one tap, and whether they stay for every coin. */
export function DateLine() {
  const app = useApp();
  const { date, dateEntry } = app;
  const d = app.denomination.value;
  const given = date.year.value !== "" || date.mint.value !== "";
  const last = dateEntry.last.value;
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
        <button
          type="button"
          class="field-button date-search"
          data-do="search-date"
          aria-pressed={date.searched.value}
          onClick={() => {
            date.searched.value = !date.searched.value;
          }}
        >
          {date.searched.value ? text.date.searching : text.date.search}
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
