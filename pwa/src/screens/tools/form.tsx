import type { Signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import type { Asked, Asking } from "../../core/asking";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import * as controls from "../form/controls";
import { type Form, put } from "../form/kept";
import { twoWays } from "../form/two-ways";
import { meanText, stepText, uncertaintyText } from "../weigh/figures";
import { firstEmpty, stepOf, uOf } from "./questions";

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

/** Asks once all is filled in that labels name; says what is missing before that. */
export function askFilled<T>(
  asking: Asking<T>,
  form: Form,
  labels: Record<string, string>,
  question: unknown,
): void {
  const empty = firstEmpty(form, labels);
  if (empty) {
    asking.refuse(empty, text.toolbox.missing(labels[empty] ?? empty));
    return;
  }
  for (const [name, typed] of Object.entries(form)) {
    const sentence = twoWays(typed);
    if (sentence) {
      asking.refuse(name, sentence);
      return;
    }
  }
  void asking.ask(question);
}

/** A number to be typed. */
export function Entry(props: {
  form: Signal<Form>;
  name: string;
  label: string;
  hint?: string;
  wrong: string;
  whole?: boolean;
}) {
  const { form, name } = props;
  return (
    <controls.Entry
      name={name}
      label={props.label}
      hint={props.hint}
      mode={props.whole ? "numeric" : "decimal"}
      value={form.value[name] ?? ""}
      wrong={props.wrong === name}
      onType={(typed) => put(form, { [name]: typed, [uOf(name)]: "", [stepOf(name)]: "" })}
    />
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
        onTake={(t) => put(form, { [name]: figure(t.mean), [uOf(name)]: t.u, [stepOf(name)]: t.step })}
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
  options: controls.Option[];
  clears?: string[];
  wide?: boolean;
}) {
  const { form, name } = props;
  return (
    <controls.Select
      name={name}
      label={props.label}
      none={props.none}
      value={form.value[name] ?? ""}
      wrong={props.wrong === name}
      options={props.options}
      wide={props.wide}
      onPick={(id) => {
        const cleared = Object.fromEntries((props.clears ?? []).map((c) => [c, ""]));
        put(form, { ...cleared, [name]: id });
      }}
    />
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
