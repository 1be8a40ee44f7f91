import { type Signal, signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import type { Asked } from "../../core/asking";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { meanText, stepText, uncertaintyText } from "../weigh/figures";
import { type Form, stepOf, uOf } from "./questions";

/** What a tool's form holds; it stays while other screens are looked at. */
export function useForm(name: string, first: Form): Signal<Form> {
  const { forms } = useView();
  let form = forms.get(name);
  if (!form) {
    form = signal(first);
    forms.set(name, form);
  }
  return form;
}

/** Sets fields of a form; a field set to nothing is left out. */
export function put(form: Signal<Form>, changes: Form): void {
  form.value = { ...form.value, ...changes };
}

/** The field that the core complained of, if any. */
export const wrongField = (asked: Asked<unknown>): string =>
  asked.is === "failed" ? (asked.fault.field ?? "") : "";

/** The core's sentence where a question couldn’t be answered. */
export function Fault({ asked }: { asked: Asked<unknown> }) {
  return (
    <div role="alert" data-part="tool-fault">
      {asked.is === "failed" && <p class="problem">{asked.fault.sentence || text.toolbox.failed}</p>}
    </div>
  );
}

/** A number to be typed. */
export function Entry(props: {
  form: Signal<Form>;
  name: string;
  label: string;
  placeholder?: string;
  wrong: string;
  whole?: boolean;
}) {
  const { form, name } = props;
  return (
    <label class="field">
      <span>{props.label}</span>
      <input
        name={name}
        inputMode={props.whole ? "numeric" : "decimal"}
        autocomplete="off"
        placeholder={props.placeholder}
        value={form.value[name] ?? ""}
        aria-invalid={props.wrong === name || undefined}
        onInput={(e) => put(form, { [name]: e.currentTarget.value, [uOf(name)]: "", [stepOf(name)]: "" })}
      />
    </label>
  );
}

/** A weight: typed, or taken from the scale once it has settled. */
export function WeightEntry(props: { form: Signal<Form>; name: string; label: string; wrong: string }) {
  const { form, name, label } = props;
  const u = form.value[uOf(name)];
  return (
    <div class="weight-entry">
      <Entry form={form} name={name} label={label} wrong={props.wrong} />
      <TakeReading
        label={label}
        onTake={(t) => put(form, { [name]: t.mean, [uOf(name)]: t.u, [stepOf(name)]: t.step })}
      />
      {u && <p class="quiet small">{text.toolbox.taken(uncertaintyText(Number(u)))}</p>}
    </div>
  );
}

export interface Taken {
  mean: string;
  u: string;
  step: string;
}

/** Takes the live weight over, once it has settled. */
function TakeReading({ label, onTake }: { label: string; onTake: (t: Taken) => void }) {
  const r = useApp().live.reading.value;
  const load = r.is === "weight" && r.phase === "settled" ? r.load : null;
  const mean = load && meanText(load.mean, load.u);
  return (
    <button
      type="button"
      class="button take"
      data-do="take"
      disabled={!load}
      onClick={() => {
        if (load && mean) onTake({ mean, u: String(load.u), step: stepText(load.resolution) });
      }}
    >
      {mean ? text.toolbox.take(mean) : text.toolbox.takeWait}
      <span class="unseen">{text.toolbox.takeFor(label)}</span>
    </button>
  );
}

/** One of a list. */
export function Pick(props: {
  form: Signal<Form>;
  name: string;
  label: string;
  none: string;
  wrong?: string;
  options: { id: string; words: string }[];
  clears?: string[];
  wide?: boolean;
}) {
  const { form, name } = props;
  return (
    <label class={props.wide ? "field wide" : "field"}>
      <span>{props.label}</span>
      <select
        name={name}
        value={form.value[name] ?? ""}
        aria-invalid={(props.wrong && props.wrong === name) || undefined}
        onChange={(e) => {
          const cleared = Object.fromEntries((props.clears ?? []).map((c) => [c, ""]));
          put(form, { ...cleared, [name]: e.currentTarget.value });
        }}
      >
        <option value="">{props.none}</option>
        {props.options.map((o) => (
          <option key={o.id} value={o.id}>
            {o.words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The answer's card, announced when it comes. */
export function AnswerCard({ children }: { children: ComponentChildren }) {
  return (
    <section class="card answer" role="status" data-part="answer">
      {children}
    </section>
  );
}
