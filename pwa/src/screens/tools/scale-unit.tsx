import { useSignal } from "@preact/signals";
import type { UnitAsk } from "../../live/wire";
import type { ScaleView } from "../../scale/scale-hand";
import { sayUnit } from "../../scale/scale-unit";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { UnitButtons, UnitQuestion } from "../weigh/unit-question";
import { useScaleHand } from "./use-scale-hand";

const all: Record<UnitAsk["of"], string[]> = {
  unit: ["g", "oz", "gr", "ct", "dwt", "ozt", "mg", "kg", "lb"],
  gr: ["g", "gr"],
};

/** The scale's unit, where the person had to say it: the question, or the answer and the way to change it. */
export function UnitCard() {
  const hand = useScaleHand();
  const now = hand.view.value?.now;
  if (!now) return null;
  if (now.asks) {
    return (
      <section class="card" data-part="unit-card">
        <UnitQuestion ask={now.asks} scale={now.name} />
      </section>
    );
  }
  const said = (["unit", "gr"] as const).filter((of) => now.said[of] !== "");
  if (said.length === 0) return null;
  return (
    <section class="card" aria-labelledby="unit-title" data-part="unit-card">
      <h2 id="unit-title">{text.unitAsk.cardTitle}</h2>
      {said.map((of) => (
        <Said key={of} of={of} now={now} onChange={() => void hand.look()} />
      ))}
    </section>
  );
}

function Said({ of, now, onChange }: { of: UnitAsk["of"]; now: ScaleView["now"]; onChange(): void }) {
  const app = useApp();
  const open = useSignal(false);
  const unit = now.said[of];
  const words = of === "gr" ? text.unitAsk.saidGr : text.unitAsk.saidUnit;
  const done = () => {
    open.value = false;
    onChange();
  };
  return (
    <>
      <p data-part="unit-said" data-unit={unit}>
        {words(unit)}
      </p>
      {open.value && <UnitButtons scale={now.name} of={of} units={all[of]} now={unit} onSaid={done} />}
      <p class="acts">
        <button
          type="button"
          class="button"
          data-do="change-unit"
          aria-expanded={open.value}
          onClick={() => {
            open.value = !open.value;
          }}
        >
          {open.value ? text.unitAsk.cancel : text.unitAsk.change}
        </button>
        {open.value && (
          <button
            type="button"
            class="button"
            data-do="forget-unit"
            onClick={() => void sayUnit(app.api, { scale: now.name, of, unit: "" }).then(done)}
          >
            {text.unitAsk.forget}
          </button>
        )}
      </p>
    </>
  );
}
