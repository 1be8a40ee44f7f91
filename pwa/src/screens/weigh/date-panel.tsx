import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { lastOf, runsOf, yearsIn } from "../../weigh/coin-date-entry";

/**
 * Five years, then the date with its mint: two taps in the place of the keys.
 * The years a jar holds stand there first, nearest to the thumb; older ones are
 * a swipe away. Figures and letters of a keyboard do the same.
 */
export function DatePanel() {
  const app = useApp();
  const view = useView();
  const entry = app.dateEntry;
  const stage = entry.stage.value;
  const panel = useRef<HTMLDivElement>(null);
  useEffect(() => panel.current?.focus({ preventScroll: true }), []);
  // Before the next key can come: typing is faster than a paint.
  useLayoutEffect(() => {
    const listen = (e: KeyboardEvent) => {
      if (e.ctrlKey || e.metaKey || e.altKey || view.sheet.value !== null) return;
      const on = e.target as HTMLElement | null;
      if (on?.closest?.("input, select, textarea")) return;
      // On a button, Enter and Space are that button's.
      if (on?.closest?.("button") && (e.key === "Enter" || e.key === " ")) return;
      if (!entry.key(e.key)) return;
      e.preventDefault();
      e.stopImmediatePropagation();
    };
    addEventListener("keydown", listen, { capture: true });
    return () => removeEventListener("keydown", listen, { capture: true });
  }, [entry, view]);
  // A button that was tapped is gone with its stage, and the focus with it.
  useEffect(() => {
    if (stage && document.activeElement === document.body) panel.current?.focus({ preventScroll: true });
  }, [stage]);
  const d = app.denomination.value;
  if (!d) return null;
  const figures = entry.figures.value;
  return (
    <div
      ref={panel}
      class="date-panel"
      role="group"
      tabIndex={-1}
      aria-label={text.dateEntry.title}
      data-stage={stage}
    >
      <p class="date-ask" aria-live="polite">
        <span>{text.dateEntry.stages[stage]}</span>
        <output class="figures date-figures">
          {d.name} {figures.padEnd(4, "·")} {entry.letters.value}
        </output>
      </p>
      {entry.unknownYear.value && (
        <p class="problem small" role="alert">
          {text.dateEntry.unknownYear(d.name, figures)}
        </p>
      )}
      {stage === "run" ? (
        <div class="date-keys" ref={newestFirst}>
          {runsOf(d).map((run) => (
            <button
              key={run}
              type="button"
              class="date-key figures"
              data-run={run}
              data-last={
                (Number(entry.last.value?.year) >= run && Number(entry.last.value?.year) <= lastOf(run)) ||
                undefined
              }
              onClick={() => entry.pickRun(run)}
            >
              {text.dateEntry.run(String(run), String(lastOf(run)))}
            </button>
          ))}
        </div>
      ) : (
        <div class="date-rows">
          {(stage === "mint" ? [figures] : yearsIn(d, entry.run.value)).map((y) => (
            <DateRow key={y} year={y} />
          ))}
        </div>
      )}
      <div class="date-acts">
        {stage === "run" ? (
          <button type="button" class="button" data-do="any-date" onClick={() => entry.any()}>
            {text.dateEntry.anyDate}
          </button>
        ) : (
          <button type="button" class="button" data-do="date-back" onClick={() => entry.back()}>
            {text.dateEntry.back}
          </button>
        )}
        <button type="button" class="button" data-do="date-close" onClick={() => entry.close()}>
          {text.dateEntry.close}
        </button>
      </div>
    </div>
  );
}

/** The years that a jar holds are the newest. */
function newestFirst(keys: HTMLElement | null): void {
  if (keys) keys.scrollTop = keys.scrollHeight;
}

/** One year and its mint marks, each a whole date. */
function DateRow({ year }: { year: string }) {
  const entry = useApp().dateEntry;
  const marks = entry.marksOf(year);
  const last = entry.last.value;
  return (
    <div class="date-row" role="group" aria-label={year}>
      <span class="figures date-row-year">{year}</span>
      {marks.map((m) => (
        <button
          key={m}
          type="button"
          class="date-key"
          data-year={year}
          data-mint={m}
          data-last={(last?.year === year && last.mint === m) || undefined}
          onClick={() => entry.pick(year, m)}
        >
          <span class="unseen">{year} </span>
          {m === "-" ? text.dateEntry.noMark : m}
        </button>
      ))}
      {marks.length !== 1 && (
        <button
          type="button"
          class="date-key date-unread"
          data-year={year}
          data-mint=""
          aria-label={text.dateEntry.noReadLong(year)}
          onClick={() => entry.pick(year, "")}
        >
          {text.dateEntry.noRead}
        </button>
      )}
    </div>
  );
}
