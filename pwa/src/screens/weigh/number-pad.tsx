import { text } from "../../text";
import { decimalSign } from "../../text/languages";
import { locale } from "../../text/writing";
import { useApp } from "../../view/context";
import { press } from "../../weigh/digits";

/** In the order of a phone's keys. */
const figures = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0"];

/** Figures under the thumb. A key that wouldn't fit the scale's step is off. */
export function NumberPad() {
  const { manualWeight } = useApp();
  const digits = manualWeight.digits.value;
  return (
    <div class="pad" role="group" aria-label={text.typed.pad}>
      <div class="pad-figures">
        {figures.map((k) => (
          <Figure key={k} k={k} />
        ))}
        <button
          type="button"
          class="pad-key"
          data-do="undo"
          aria-disabled={digits === ""}
          onClick={() => manualWeight.undo()}
        >
          <span aria-hidden="true">{text.typed.undoShort}</span>
          <span class="unseen">{text.typed.undo}</span>
        </button>
      </div>
      <button
        type="button"
        class="pad-key pad-next"
        data-do="next"
        aria-disabled={digits === ""}
        onClick={() => manualWeight.next()}
      >
        {text.typed.next}
      </button>
    </div>
  );
}

function Figure({ k }: { k: string }) {
  const { manualWeight } = useApp();
  const digits = manualWeight.digits.value;
  const fits = press(digits, k, manualWeight.step.value) !== digits || digits === k;
  return (
    <button
      type="button"
      class="pad-key"
      data-key={k}
      aria-disabled={!fits}
      onClick={() => manualWeight.press(k)}
    >
      {k === "." ? (
        <>
          <span aria-hidden="true">{decimalSign(locale.value)}</span>
          <span class="unseen">{text.typed.point}</span>
        </>
      ) : (
        k
      )}
    </button>
  );
}
