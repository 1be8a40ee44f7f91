import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { decadesOf, yearsIn } from "../../weigh/coin-date-entry";

/**
 * Decade, year, mint: three taps in the place of the keys, the newest nearest
 * to the thumb. Figures and letters of a keyboard do the same.
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
      <div class="date-keys">
        {stage === "decade" &&
          decadesOf(d)
            .filter((x) => x.startsWith(figures))
            .map((x) => (
              <DateKey
                key={x}
                words={text.dateEntry.decade(x)}
                value={x}
                last={entry.last.value?.year.startsWith(x)}
                onTap={() => entry.pickDecade(x)}
              />
            ))}
        {stage === "year" &&
          yearsIn(d, figures).map((y) => (
            <DateKey
              key={y}
              words={y}
              value={y}
              last={entry.last.value?.year === y}
              onTap={() => entry.pickYear(y)}
            />
          ))}
        {stage === "mint" &&
          entry.marks.value.map((m) => (
            <DateKey
              key={m}
              words={m === "-" ? text.dateEntry.noMark : m}
              value={m}
              last={false}
              onTap={() => entry.pickMint(m)}
            />
          ))}
        {stage === "mint" && (
          <DateKey words={text.dateEntry.noRead} value="" last={false} onTap={() => entry.pickMint("")} />
        )}
      </div>
      <div class="date-acts">
        {stage === "decade" ? (
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

function DateKey(props: { words: string; value: string; last: boolean | undefined; onTap: () => void }) {
  return (
    <button
      type="button"
      class="date-key figures"
      data-value={props.value}
      data-last={props.last || undefined}
      onClick={props.onTap}
    >
      {props.words}
    </button>
  );
}
