import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { text } from "../../text";
import { localMinute } from "../finds/words";

/** Inputs that save by themselves once something else is done; each saving can be undone. */

export function TextInput(props: {
  name: string;
  label: string;
  value: string;
  hint?: string;
  lines?: number;
  inputMode?: "text" | "numeric" | "decimal";
  /** What the browser has an entry of its own for. */
  kind?: "datetime-local";
  most?: number;
  /** Answers null, perhaps later, for what can't be saved; then it stays to be corrected, marked as wrong. */
  onSave: (value: string) => unknown;
}) {
  const input = useRef<HTMLInputElement & HTMLTextAreaElement>(null);
  /** What stands in the field as long as nobody writes in it. */
  const handedOn = useRef<string | null>(null);
  const state = useSignal<"still" | "saving" | "wrong">("still");
  // What came from elsewhere is shown, unless this very field is being written in
  // or holds what is still to be corrected. A field with the focus alone follows
  // too: left again, it would put its old words over the new ones.
  const follow = () => {
    const el = input.current;
    if (!el || state.peek() !== "still") return;
    if (handedOn.current !== null && el.value.trim() !== handedOn.current) return;
    el.value = props.value;
    handedOn.current = el.value.trim(); // a field may hold less than it was given, such as no line ends
  };
  useEffect(follow, [props.value, state.value]);
  const save = () => {
    const v = input.current?.value.trim() ?? handedOn.current;
    if (v === null || v === handedOn.current) return;
    handedOn.current = v;
    state.value = "saving";
    void Promise.resolve(props.onSave(v)).then((saved) => {
      if (handedOn.current === v) state.value = saved === null ? "wrong" : "still";
    });
  };
  // Nothing says that a field is done with when the app is put away in the
  // middle of a word, and perhaps it is never opened again.
  const newest = useRef(save);
  newest.current = save;
  useEffect(() => {
    const hidden = () => document.visibilityState === "hidden" && newest.current();
    document.addEventListener("visibilitychange", hidden);
    return () => {
      document.removeEventListener("visibilitychange", hidden);
      newest.current();
    };
  }, []);
  const shared = {
    ref: input,
    name: props.name,
    defaultValue: props.value,
    placeholder: props.hint,
    maxLength: props.most,
    "aria-invalid": state.value === "wrong" || undefined,
    // A time is reported as changed with each of its parts, half entered.
    onChange: props.kind ? undefined : save,
    onBlur: () => {
      if (state.peek() === "wrong") {
        handedOn.current = props.value; // what failed is tried again
        state.value = "still";
      }
      save();
      follow();
    },
  };
  return (
    // biome-ignore lint/a11y/noLabelWithoutControl: one of the three controls is inside
    <label class={props.lines || props.kind ? "field wide" : "field"}>
      <span>{props.label}</span>
      {props.lines ? (
        <textarea {...shared} rows={props.lines} />
      ) : props.kind ? (
        <input {...shared} type={props.kind} />
      ) : (
        <input {...shared} inputMode={props.inputMode ?? "text"} autocomplete="off" />
      )}
    </label>
  );
}

/** A day and a time, to the minute; what is taken away counts as nothing entered. */
export function TimeInput(props: {
  name: string;
  label: string;
  value: number;
  onSave: (ms: number) => unknown;
}) {
  return (
    <TextInput
      name={props.name}
      label={props.label}
      value={localMinute(props.value)}
      kind="datetime-local"
      onSave={(v) => (v ? props.onSave(new Date(v).getTime()) : null)}
    />
  );
}

/** The note of a find or a hunt. */
export function NoteInput(props: {
  value: string | undefined;
  lines: number;
  onSave(note: string | null): unknown;
}) {
  return (
    <TextInput
      name="note"
      label={text.finds.note}
      value={props.value ?? ""}
      lines={props.lines}
      most={8000}
      onSave={(note) => props.onSave(note || null)}
    />
  );
}
