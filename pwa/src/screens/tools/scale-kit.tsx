import { useSignal } from "@preact/signals";
import type { ScaleGuide } from "../../scale/scale-guide";
import { classes, type KitWeight, nominals } from "../../scale/scale-record";
import { text } from "../../text";

const most = 5;
const empty: KitWeight = { nominal: "", class: "", value: "", expanded: "" };

/** Which check weights the person has, and how often each is put on. */
export function KitForm({ guide }: { guide: ScaleGuide }) {
  const draft = guide.draft.value;
  const weights = useSignal<KitWeight[]>(draft.weights.length ? draft.weights : [empty]);
  const times = useSignal(draft.times);
  const fault = useSignal<{ field: string; sentence: string } | null>(null);
  const change = (i: number, part: Partial<KitWeight>) => {
    weights.value = weights.value.map((w, j) => (i === j ? { ...w, ...part } : w));
    fault.value = null;
  };

  async function begin(e: Event) {
    e.preventDefault();
    const unsaid = weights.value.findIndex((w) => !w.nominal && w.class !== "");
    if (unsaid >= 0) {
      fault.value = { field: `weights.${unsaid}.nominal_g`, sentence: text.scale.noWeight };
      return;
    }
    const wrong = await guide.begin(weights.value, times.value);
    fault.value = wrong && { ...wrong, sentence: wrong.sentence || text.scale.failed };
  }

  const wrong = (i: number, name: string) => fault.value?.field === `weights.${i}.${name}` || undefined;
  return (
    <>
      <p>{text.scale.kitIntro}</p>
      <form noValidate onSubmit={(e) => void begin(e)} class="kit">
        {weights.value.map((w, i) => (
          <fieldset key={i} class="tool-form kit-weight">
            <legend class="unseen">{text.scale.kitLabel(i + 1)}</legend>
            <label class="field">
              <span>{text.scale.nominal}</span>
              <select
                name={`nominal-${i}`}
                value={w.nominal}
                aria-invalid={wrong(i, "nominal_g")}
                onChange={(e) => change(i, { nominal: e.currentTarget.value })}
              >
                <option value="">{text.scale.nominalNone}</option>
                {nominals.map((g) => (
                  <option key={g} value={g}>
                    {text.scale.grams(g)}
                  </option>
                ))}
              </select>
            </label>
            <label class="field">
              <span>{text.scale.class}</span>
              <select
                name={`class-${i}`}
                value={w.class}
                aria-invalid={wrong(i, "class")}
                onChange={(e) => change(i, { class: e.currentTarget.value })}
              >
                <option value="">{text.scale.classNone}</option>
                {classes.map((c) => (
                  <option key={c} value={c}>
                    {c}
                  </option>
                ))}
              </select>
            </label>
            <details class="wide" open={w.value !== "" || undefined}>
              <summary>{text.scale.certificate}</summary>
              <div class="tool-form">
                <label class="field">
                  <span>{text.scale.value}</span>
                  <input
                    name={`value-${i}`}
                    inputMode="decimal"
                    autocomplete="off"
                    value={w.value}
                    aria-invalid={wrong(i, "value_g")}
                    onInput={(e) => change(i, { value: e.currentTarget.value })}
                  />
                </label>
                <label class="field">
                  <span>{text.scale.expanded}</span>
                  <input
                    name={`expanded-${i}`}
                    inputMode="decimal"
                    autocomplete="off"
                    value={w.expanded}
                    aria-invalid={wrong(i, "u_g")}
                    onInput={(e) => change(i, { expanded: e.currentTarget.value })}
                  />
                </label>
              </div>
            </details>
            {!w.class && !w.value && <p class="quiet small">{text.scale.object}</p>}
            {weights.value.length > 1 && (
              <button
                type="button"
                class="button"
                data-do="drop-weight"
                onClick={() => {
                  weights.value = weights.value.filter((_, j) => j !== i);
                }}
              >
                {text.scale.dropWeight}
              </button>
            )}
          </fieldset>
        ))}
        {weights.value.length < most && (
          <button
            type="button"
            class="button"
            data-do="add-weight"
            onClick={() => {
              weights.value = [...weights.value, empty];
            }}
          >
            {text.scale.addWeight}
          </button>
        )}
        <p class="quiet small">{text.scale.kitAdvice}</p>
        <fieldset class="choice-row">
          <legend>{text.scale.times}</legend>
          {[3, 5, 10].map((n) => (
            <label key={n} class="chip">
              <input
                type="radio"
                name="times"
                value={n}
                checked={times.value === n}
                onChange={() => {
                  times.value = n;
                }}
              />
              <span>{text.scale.timesValue(n)}</span>
            </label>
          ))}
        </fieldset>
        <div role="alert">{fault.value && <p class="problem">{fault.value.sentence}</p>}</div>
        <button type="submit" class="button main wide" data-do="begin">
          {text.scale.begin}
        </button>
      </form>
    </>
  );
}
