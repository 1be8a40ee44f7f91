import { type Signal, useSignal } from "@preact/signals";
import { text } from "../../text";

export const steps = ["rim", "ruler", "over", "light", "mat"] as const;
export type Step = (typeof steps)[number];

export function useStep(): Signal<Step> {
  return useSignal<Step>("rim");
}

/** What is done with the picture. */
export function Steps({ step, of }: { step: Signal<Step>; of: readonly Step[] }) {
  return (
    <div class="choice-row one-row" role="group" aria-label={text.bench.stepsLabel}>
      {of.map((s) => (
        <button
          key={s}
          type="button"
          class="chip-button"
          data-step={s}
          aria-pressed={step.value === s}
          onClick={() => {
            step.value = s;
          }}
        >
          {text.bench.steps[s]}
        </button>
      ))}
    </div>
  );
}
