import { useEffect, useRef } from "preact/hooks";

/** Inputs that save by themselves once something else is done; each saving can be undone. */

export function TextInput(props: {
  name: string;
  label: string;
  value: string;
  hint?: string;
  lines?: number;
  inputMode?: "text" | "numeric" | "decimal";
  most?: number;
  wrong?: boolean;
  onSave: (value: string) => void;
}) {
  const input = useRef<HTMLInputElement & HTMLTextAreaElement>(null);
  // What came from elsewhere is shown, unless this very field is being written in.
  useEffect(() => {
    const el = input.current;
    if (el && document.activeElement !== el) el.value = props.value;
  }, [props.value]);
  const save = (value: string) => {
    const v = value.trim();
    if (v !== props.value) props.onSave(v);
  };
  const shared = {
    ref: input,
    name: props.name,
    defaultValue: props.value,
    placeholder: props.hint,
    maxLength: props.most,
    "aria-invalid": props.wrong || undefined,
    onChange: (e: Event) => save((e.currentTarget as HTMLInputElement).value),
  };
  return (
    // biome-ignore lint/a11y/noLabelWithoutControl: either of the two controls is inside
    <label class={props.lines ? "field wide" : "field"}>
      <span>{props.label}</span>
      {props.lines ? (
        <textarea {...shared} rows={props.lines} />
      ) : (
        <input {...shared} inputMode={props.inputMode ?? "text"} autocomplete="off" />
      )}
    </label>
  );
}

export function SelectInput(props: {
  name: string;
  label: string;
  value: string;
  none: string | null;
  options: { id: string; words: string }[];
  wide?: boolean;
  onSave: (value: string) => void;
}) {
  const known = props.options.some((o) => o.id === props.value);
  return (
    <label class={props.wide ? "field wide" : "field"}>
      <span>{props.label}</span>
      <select name={props.name} value={props.value} onChange={(e) => props.onSave(e.currentTarget.value)}>
        {props.none !== null && <option value="">{props.none}</option>}
        {!known && props.value && <option value={props.value}>{props.value}</option>}
        {props.options.map((o) => (
          <option key={o.id} value={o.id}>
            {o.words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** One of a few, each under its own tap; the picked one tapped again takes it away. */
export function Chips<T extends string>(props: {
  name: string;
  label: string;
  value: string | undefined;
  options: readonly T[];
  words: Record<T, string>;
  /** All in one row, also on a narrow phone. */
  oneRow?: boolean;
  onSave: (value: T | null) => void;
}) {
  return (
    <div class={props.oneRow ? "choice-row one-row" : "choice-row"} role="group" aria-label={props.label}>
      <p class="chips-label">{props.label}</p>
      {props.options.map((o) => (
        <button
          key={o}
          type="button"
          class="chip-button"
          data-choice={`${props.name}-${o}`}
          aria-pressed={props.value === o}
          onClick={() => props.onSave(props.value === o ? null : o)}
        >
          {props.words[o]}
        </button>
      ))}
    </div>
  );
}
