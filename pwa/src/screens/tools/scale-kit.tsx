import { useSignal } from "@preact/signals";
import type { ScaleGuide } from "../../scale/scale-guide";
import { classes, type KitWeight, nominals } from "../../scale/scale-record";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { Choices, Entry, Select } from "../form/controls";
import { twoWays } from "../form/two-ways";

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
    const ambiguous = weights.value
      .map((w, i) => ({ field: `weights.${i}.value_g`, sentence: twoWays(w.value) || twoWays(w.expanded) }))
      .find((f) => f.sentence);
    if (ambiguous) {
      fault.value = ambiguous;
      return;
    }
    const wrong = await guide.begin(weights.value, times.value);
    fault.value = wrong && { ...wrong, sentence: wrong.sentence || text.scale.failed };
  }

  const wrong = (i: number, name: string) => fault.value?.field === `weights.${i}.${name}`;
  return (
    <>
      <p>{text.scale.kitIntro}</p>
      <form noValidate onSubmit={(e) => void begin(e)} class="kit">
        {weights.value.map((w, i) => (
          <fieldset key={i} class="tool-form kit-weight">
            <legend class="unseen">{text.scale.kitLabel(i + 1)}</legend>
            <Select
              name={`nominal-${i}`}
              label={text.scale.nominal}
              none={text.scale.nominalNone}
              value={w.nominal}
              wrong={wrong(i, "nominal_g")}
              options={nominals.map((g) => ({ id: g, words: text.scale.grams(g) }))}
              onPick={(nominal) => change(i, { nominal })}
            />
            <Select
              name={`class-${i}`}
              label={text.scale.class}
              none={text.scale.classNone}
              value={w.class}
              wrong={wrong(i, "class")}
              options={classes.map((c) => ({ id: c, words: c }))}
              onPick={(picked) => change(i, { class: picked })}
            />
            <details class="wide" open={w.value !== "" || undefined}>
              <summary>{text.scale.certificate}</summary>
              <div class="tool-form">
                <Entry
                  name={`value-${i}`}
                  label={text.scale.value}
                  value={figure(w.value)}
                  wrong={wrong(i, "value_g")}
                  onType={(value) => change(i, { value })}
                />
                <Entry
                  name={`expanded-${i}`}
                  label={text.scale.expanded}
                  value={figure(w.expanded)}
                  wrong={wrong(i, "u_g")}
                  onType={(expanded) => change(i, { expanded })}
                />
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
        <Choices
          name="times"
          legend={text.scale.times}
          of={[3, 5, 10]}
          picked={times.value}
          words={text.scale.timesValue}
          onPick={(n) => {
            times.value = n;
          }}
        />
        <div role="alert">{fault.value && <p class="problem">{fault.value.sentence}</p>}</div>
        <button type="submit" class="button main wide" data-do="begin">
          {text.scale.begin}
        </button>
      </form>
    </>
  );
}
