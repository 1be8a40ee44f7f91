import { useSignal } from "@preact/signals";
import type { UnitAsk } from "../../live/wire";
import { sayUnit } from "../../scale/scale-unit";
import { text } from "../../text";
import { useApp } from "../../view/context";

/** What only the person can say of the scale: the digits to hold against its display, and a button a unit. */
export function UnitQuestion({ ask, scale }: { ask: UnitAsk; scale: string }) {
  return (
    <section class="unit-ask" aria-label={text.unitAsk.label} data-part="unit-ask" data-of={ask.of}>
      <p class="unit-ask-digits">
        <span class="quiet">{text.unitAsk.sends}</span> <span data-part="asked-digits">{ask.digits}</span>
        <span class="quiet" aria-hidden="true">
          {ask.of === "gr" ? " gr" : " ?"}
        </span>
      </p>
      <h2>{text.unitAsk.titles[ask.of]}</h2>
      <UnitButtons scale={scale} of={ask.of} units={ask.units} />
      <p class="quiet small">{text.unitAsk.why[ask.of]}</p>
    </section>
  );
}

/** One button a unit; the answer counts at once. */
export function UnitButtons(props: {
  scale: string;
  of: UnitAsk["of"];
  units: string[];
  now?: string;
  onSaid?(): void;
}) {
  const app = useApp();
  const busy = useSignal(false);
  const trouble = useSignal("");

  async function say(unit: string) {
    busy.value = true;
    const wrong = await sayUnit(app.api, { scale: props.scale, of: props.of, unit });
    busy.value = false;
    trouble.value = wrong === "-" ? text.unitAsk.failed : (wrong ?? "");
    if (wrong === null) props.onSaid?.();
  }

  return (
    <>
      <p class="unit-buttons">
        {props.units.map((u) => (
          <button
            key={u}
            type="button"
            class="button"
            data-unit={u}
            aria-pressed={props.now === undefined ? undefined : props.now === u}
            disabled={busy.value}
            onClick={() => void say(u)}
          >
            <strong>{u}</strong> <span class="small">{text.unitAsk.names[u] ?? ""}</span>
          </button>
        ))}
      </p>
      {trouble.value && (
        <p class="problem" role="alert">
          {trouble.value}
        </p>
      )}
    </>
  );
}
