import { text } from "../../text";

const steps = ["rim", "ruler", "over", "light", "hints", "sides", "mat"] as const;
export type Step = (typeof steps)[number];

/** What is done with the picture. */
export function Steps(props: { step: Step; onPick(step: Step): void }) {
  return (
    <div class="choice-row one-row" role="group" aria-label={text.bench.stepsLabel}>
      {steps.map((s) => (
        <button
          key={s}
          type="button"
          class="chip-button"
          data-step={s}
          aria-pressed={props.step === s}
          onClick={() => props.onPick(s)}
        >
          {text.bench.steps[s]}
        </button>
      ))}
    </div>
  );
}
