import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { press } from "../../weigh/digits";

const upper = ["1", "2", "3", "4", "5", "6"];
const lower = ["7", "8", "9", ".", "0"];

/** Figures under the thumb. A key that wouldn't fit the scale's step is off. */
export function NumberPad() {
  const { typed } = useApp();
  const digits = typed.digits.value;
  return (
    <div class="pad" role="group" aria-label={text.typed.pad}>
      {upper.map((k) => (
        <Figure key={k} k={k} />
      ))}
      <button
        type="button"
        class="pad-key"
        data-do="undo"
        aria-disabled={digits === ""}
        onClick={() => typed.undo()}
      >
        <I name="clear" />
        <span class="unseen">{text.typed.undo}</span>
      </button>
      {lower.map((k) => (
        <Figure key={k} k={k} />
      ))}
      <button
        type="button"
        class="pad-key pad-next"
        data-do="next"
        aria-disabled={digits === ""}
        onClick={() => typed.next()}
      >
        {text.typed.next}
      </button>
    </div>
  );
}

function Figure({ k }: { k: string }) {
  const { typed } = useApp();
  const digits = typed.digits.value;
  const fits = press(digits, k, typed.step.value) !== digits || digits === k;
  return (
    <button type="button" class="pad-key" data-key={k} aria-disabled={!fits} onClick={() => typed.press(k)}>
      {k === "." ? (
        <>
          <span aria-hidden="true">.</span>
          <span class="unseen">{text.typed.point}</span>
        </>
      ) : (
        k
      )}
    </button>
  );
}
