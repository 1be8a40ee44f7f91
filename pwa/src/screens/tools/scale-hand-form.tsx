import type { Signal } from "@preact/signals";
import { useSignal } from "@preact/signals";
import type { ScaleSettings, ScaleView } from "../../scale/scale-hand";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { plainNumber } from "./questions";

const speeds = [1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200];
const framings = ["8N1", "7E1", "7O1", "8E1", "8O1", "8N2", "7N2"];
const units = ["g", "mg", "kg", "ct", "gr", "dwt", "ozt", "oz", "lb"];
const another = "?";

/** What can be fixed by hand; what is left open is found by the program. */
export function HandForm(props: {
  view: ScaleView;
  form: Signal<ScaleSettings>;
  fault: { field: string; sentence: string } | null;
  onUse(): void;
}) {
  const { view, form, fault } = props;
  const f = form.value;
  const put = (part: Partial<ScaleSettings>) => {
    form.value = { ...f, ...part };
  };
  const wrong = (field: string) => fault?.field === field || undefined;
  const stepUnit = f.step_unit || view.now.unit || "g";
  const format = view.formats.find((x) => x.format === (f.format || view.now.format));
  return (
    <form
      class="tool-form"
      noValidate
      aria-labelledby="hand-title"
      onSubmit={(e) => {
        e.preventDefault();
        props.onUse();
      }}
    >
      <h2 class="wide" id="hand-title">
        {text.scaleHand.byHandTitle}
      </h2>
      <PortPick view={view} form={form} wrong={wrong("port")} />
      <Choice
        name="baud"
        label={text.scaleHand.speed}
        value={f.baud ? String(f.baud) : ""}
        wrong={wrong("baud")}
        options={withOwn(speeds.map(String), f.baud ? String(f.baud) : "").map((s) => ({
          id: s,
          words: text.scaleHand.speedValue(Number(s)),
        }))}
        onPick={(v) => put({ baud: Number(v) })}
      />
      <Choice
        name="framing"
        label={text.scaleHand.framing}
        value={f.framing}
        options={withOwn(framings, f.framing).map((s) => ({ id: s, words: s }))}
        onPick={(framing) => put({ framing })}
      />
      <Choice
        wide
        name="format"
        label={text.scaleHand.format}
        value={f.pattern ? another : f.format}
        wrong={wrong("format") ?? wrong("pattern")}
        options={[
          ...view.formats.map((x) => ({ id: x.format, words: `${x.format}: ${x.summary}` })),
          ...(f.pattern ? [{ id: another, words: text.scaleHand.byPattern }] : []),
        ]}
        onPick={(v) => {
          if (v !== another) put({ format: v, pattern: "" });
        }}
      />
      <Choice
        wide
        name="unit"
        label={text.scaleHand.unit}
        none={text.scaleHand.unitNone}
        value={f.unit}
        wrong={wrong("unit")}
        options={withOwn(units, f.unit).map((u) => ({ id: u, words: u }))}
        onPick={(unit) => put({ unit })}
      />
      <label class="field wide">
        <span>{text.scaleHand.step(stepUnit)}</span>
        <input
          name="step"
          inputMode="decimal"
          autocomplete="off"
          placeholder={text.scaleHand.stepHint}
          value={f.step}
          aria-invalid={wrong("step") ?? wrong("step_unit")}
          onInput={(e) => {
            const step = plainNumber(e.currentTarget.value);
            put({ step, step_unit: step ? stepUnit : "" });
          }}
        />
      </label>
      <fieldset class="choice-row wide">
        <legend>{text.scaleHand.keepAwake}</legend>
        {[true, false].map((on) => (
          <label key={String(on)} class="chip">
            <input
              type="radio"
              name="keep-awake"
              checked={f.keep_awake === on}
              disabled={on && format !== undefined && !format.keepAwake}
              onChange={() => put({ keep_awake: on })}
            />
            <span>{on ? text.scaleHand.on : text.scaleHand.off}</span>
          </label>
        ))}
        <p class="quiet">
          {format && !format.keepAwake ? text.scaleHand.keepAwakeNot : text.scaleHand.keepAwakeHint}
        </p>
      </fieldset>
      <div class="wide" role="alert" data-part="hand-fault">
        {fault && <p class="problem">{fault.sentence}</p>}
      </div>
      <button type="submit" class="button main" data-do="use">
        {text.scaleHand.use}
      </button>
    </form>
  );
}

const withOwn = (list: string[], own: string): string[] =>
  own && !list.includes(own) ? [...list, own] : list;

function Choice(props: {
  name: string;
  label: string;
  none?: string;
  value: string;
  wrong?: boolean | undefined;
  wide?: boolean;
  options: { id: string; words: string }[];
  onPick(value: string): void;
}) {
  return (
    <label class={props.wide ? "field wide" : "field"}>
      <span>{props.label}</span>
      <select
        name={props.name}
        value={props.value}
        aria-invalid={props.wrong}
        onChange={(e) => props.onPick(e.currentTarget.value)}
      >
        <option value="">{props.none ?? text.scaleHand.byItself}</option>
        {props.options.map((o) => (
          <option key={o.id} value={o.id}>
            {o.words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A port of the list; on the laptop's own page also any other. */
function PortPick(props: { view: ScaleView; form: Signal<ScaleSettings>; wrong: boolean | undefined }) {
  const { view, form } = props;
  const state = useApp().session.state.value;
  const desk = state.at === "joined" && state.device.role === "desk";
  const typing = useSignal(false);
  const port = form.value.port;
  const listed = [...new Set([...view.ports.map((p) => p.port), ...(port ? [port] : [])])];
  const put = (p: string) => {
    form.value = { ...form.value, port: p };
  };
  return (
    <>
      <label class="field wide">
        <span>{text.scaleHand.port}</span>
        <select
          name="port"
          value={typing.value ? another : port}
          aria-invalid={props.wrong}
          onChange={(e) => {
            typing.value = e.currentTarget.value === another;
            put(typing.value ? "" : e.currentTarget.value);
          }}
        >
          <option value="">{text.scaleHand.byItself}</option>
          {(typing.value ? view.ports.map((p) => p.port) : listed).map((p) => (
            <option key={p} value={p}>
              {p === "virtual" ? text.scaleHand.practice : p}
            </option>
          ))}
          {desk && <option value={another}>{text.scaleHand.otherPort}</option>}
        </select>
      </label>
      {typing.value && (
        <label class="field wide">
          <span>{text.scaleHand.otherPortField}</span>
          <input
            name="other-port"
            autocomplete="off"
            autocapitalize="off"
            spellcheck={false}
            placeholder={text.scaleHand.otherPortHint}
            value={port}
            aria-invalid={props.wrong}
            onInput={(e) => put(e.currentTarget.value)}
          />
        </label>
      )}
    </>
  );
}
