import type { Signal } from "@preact/signals";
import { useSignal } from "@preact/signals";
import { plainNumber } from "../../core/plain-number";
import type { ScaleSettings, ScaleView } from "../../scale/scale-settings";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { Choices, Entry, Select } from "../form/controls";

const speeds = [1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200];
const framings = ["8N1", "7E1", "7O1", "8E1", "8O1", "8N2", "7N2"];
const units = ["g", "mg", "kg", "ct", "gr", "dwt", "ozt", "oz", "lb"];
const another = "?";

/** What can be fixed by hand; what is left open is found by the program. */
export function ScaleSettingsForm(props: {
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
  const stepUnit = f.resolution_unit || view.now.unit || "g";
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
        {text.scaleSettings.byHandTitle}
      </h2>
      <PortPick view={view} form={form} wrong={wrong("port")} />
      <Select
        name="baud"
        label={text.scaleSettings.speed}
        none={text.scaleSettings.byItself}
        value={f.baud ? String(f.baud) : ""}
        wrong={wrong("baud")}
        options={withOwn(speeds.map(String), f.baud ? String(f.baud) : "").map((s) => ({
          id: s,
          words: text.scaleSettings.speedValue(Number(s)),
        }))}
        onPick={(v) => put({ baud: Number(v) })}
      />
      <Select
        name="framing"
        label={text.scaleSettings.framing}
        none={text.scaleSettings.byItself}
        value={f.framing}
        options={withOwn(framings, f.framing).map((s) => ({ id: s, words: s }))}
        onPick={(framing) => put({ framing })}
      />
      <Select
        wide
        name="format"
        label={text.scaleSettings.format}
        none={text.scaleSettings.byItself}
        value={f.pattern ? another : f.format}
        wrong={wrong("format") ?? wrong("pattern")}
        options={[
          ...view.formats.map((x) => ({ id: x.format, words: `${x.format}: ${x.summary}` })),
          ...(f.pattern ? [{ id: another, words: text.scaleSettings.byPattern }] : []),
        ]}
        onPick={(v) => {
          if (v !== another) put({ format: v, pattern: "" });
        }}
      />
      <Select
        wide
        name="unit"
        label={text.scaleSettings.unit}
        none={text.scaleSettings.unitNone}
        value={f.unit}
        wrong={wrong("unit")}
        options={withOwn(units, f.unit).map((u) => ({ id: u, words: u }))}
        onPick={(unit) => put({ unit })}
      />
      <Entry
        wide
        name="resolution"
        label={text.scaleSettings.step(stepUnit)}
        hint={text.scaleSettings.stepHint}
        value={figure(f.resolution)}
        wrong={wrong("resolution") ?? wrong("resolution_unit")}
        onType={(typed) => {
          const resolution = plainNumber(typed);
          put({ resolution, resolution_unit: resolution ? stepUnit : "" });
        }}
      />
      <Choices
        wide
        name="keep-awake"
        legend={text.scaleSettings.keepAwake}
        of={[true, false]}
        picked={f.keep_awake}
        words={(on) => (on ? text.scaleSettings.on : text.scaleSettings.off)}
        disabled={(on) => on && format !== undefined && !format.keepAwake}
        onPick={(keep_awake) => put({ keep_awake })}
      >
        <p class="quiet">
          {format && !format.keepAwake ? text.scaleSettings.keepAwakeNot : text.scaleSettings.keepAwakeHint}
        </p>
      </Choices>
      <div class="wide" role="alert" data-part="hand-fault">
        {fault && <p class="problem">{fault.sentence}</p>}
      </div>
      <button type="submit" class="button main" data-do="use">
        {text.scaleSettings.use}
      </button>
    </form>
  );
}

const withOwn = (list: string[], own: string): string[] =>
  own && !list.includes(own) ? [...list, own] : list;

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
      <Select
        wide
        name="port"
        label={text.scaleSettings.port}
        none={text.scaleSettings.byItself}
        value={typing.value ? another : port}
        wrong={props.wrong}
        options={[
          ...(typing.value ? view.ports.map((p) => p.port) : listed).map((p) => ({
            id: p,
            words: p === "virtual" ? text.scaleSettings.practice : p,
          })),
          ...(desk ? [{ id: another, words: text.scaleSettings.otherPort }] : []),
        ]}
        onPick={(picked) => {
          typing.value = picked === another;
          put(typing.value ? "" : picked);
        }}
      />
      {typing.value && (
        <label class="field wide">
          <span>{text.scaleSettings.otherPortField}</span>
          <input
            name="other-port"
            autocomplete="off"
            autocapitalize="off"
            spellcheck={false}
            placeholder={text.scaleSettings.otherPortHint}
            value={port}
            aria-invalid={props.wrong}
            onInput={(e) => put(e.currentTarget.value)}
          />
        </label>
      )}
    </>
  );
}
