import type { ComponentChildren } from "preact";

/** The controls of every form, without a state of their own. A field's name is that in the core's or the laptop's complaints. */

export interface Option {
  id: string;
  words: string;
}

/** One of a list. */
export function Select(props: {
  name: string;
  label: string;
  value: string;
  /** What stands for nothing chosen; null where something always is. */
  none: string | null;
  options: readonly Option[];
  wrong?: boolean | undefined;
  wide?: boolean | undefined;
  onPick(id: string): void;
}) {
  const known = props.value === "" || props.options.some((o) => o.id === props.value);
  return (
    <label class={props.wide ? "field wide" : "field"}>
      <span>{props.label}</span>
      <select
        name={props.name}
        value={props.value}
        aria-invalid={props.wrong || undefined}
        onChange={(e) => props.onPick(e.currentTarget.value)}
      >
        {props.none !== null && <option value="">{props.none}</option>}
        {!known && <option value={props.value}>{props.value}</option>}
        {props.options.map((o) => (
          <option key={o.id} value={o.id}>
            {o.words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A line to be typed; a number unless said otherwise. */
export function Entry(props: {
  name: string;
  label: string;
  value: string;
  mode?: "text" | "numeric" | "decimal";
  hint?: string | undefined;
  most?: number;
  wrong?: boolean | undefined;
  wide?: boolean;
  onType(typed: string): void;
}) {
  return (
    <label class={props.wide ? "field wide" : "field"}>
      <span>{props.label}</span>
      <input
        name={props.name}
        inputMode={props.mode ?? "decimal"}
        autocomplete="off"
        placeholder={props.hint}
        maxLength={props.most}
        value={props.value}
        aria-invalid={props.wrong || undefined}
        onInput={(e) => props.onType(e.currentTarget.value)}
      />
    </label>
  );
}

/** Yes or no. */
export function Check(props: { name: string; label: string; on: boolean; onPick(on: boolean): void }) {
  return (
    <label class="check">
      <input
        type="checkbox"
        name={props.name}
        checked={props.on}
        onChange={(e) => props.onPick(e.currentTarget.checked)}
      />
      <span>{props.label}</span>
    </label>
  );
}

/** One of a few, all of them in sight; one is always picked. */
export function Choices<T extends string | number | boolean>(props: {
  name: string;
  legend: string;
  of: readonly T[];
  picked: T;
  words(choice: T): string;
  wide?: boolean;
  disabled?(choice: T): boolean;
  /** The language of a choice's words, where it isn't the app's. */
  langOf?(choice: T): string | undefined;
  onPick(choice: T): void;
  /** What is said below them. */
  children?: ComponentChildren;
}) {
  return (
    <fieldset class={props.wide ? "choice-row wide" : "choice-row"}>
      <legend>{props.legend}</legend>
      {props.of.map((choice) => (
        <label key={String(choice)} class="chip">
          <input
            type="radio"
            name={props.name}
            value={String(choice)}
            checked={props.picked === choice}
            disabled={props.disabled?.(choice)}
            onChange={() => props.onPick(choice)}
          />
          <span lang={props.langOf?.(choice)}>{props.words(choice)}</span>
        </label>
      ))}
      {props.children}
    </fieldset>
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
  onPick(value: T | null): void;
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
          onClick={() => props.onPick(props.value === o ? null : o)}
        >
          {props.words[o]}
        </button>
      ))}
    </div>
  );
}
