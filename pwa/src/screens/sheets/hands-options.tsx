import type { Signal } from "@preact/signals";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { rates } from "../../device/speech";
import { tones } from "../../device/tones";
import { type PedalAct, pedalActs, says } from "../../hands/hands-prefs";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { Sheet } from "./sheet";

const words = text.handsOptions;

/** How a sitting is heard, felt and steered. */
export function HandsOptionsSheet() {
  const { hands } = useApp();
  const { prefs } = hands;
  return (
    <Sheet name="hands-options" title={words.title}>
      <Chips name="hands-say" legend={words.say} of={says} picked={prefs.say} label={(s) => words.says[s]} />
      <VoiceChoice />
      <OnOff name="hands-tones" legend={words.tones} flag={prefs.tones} />
      <ul class="plain choices tone-samples">
        {tones.map((t) => (
          <li key={t}>
            <button type="button" class="choice" data-tone={t} onClick={() => hands.sample(t)}>
              {words.play(words.toneNames[t])}
            </button>
          </li>
        ))}
      </ul>
      <OnOff name="hands-shake" legend={words.shake} flag={prefs.shake} />
      <OnOff name="hands-captions" legend={words.captions} flag={prefs.captions} />
      <PedalChoice />
    </Sheet>
  );
}

function VoiceChoice() {
  const { hands } = useApp();
  const { prefs } = hands;
  const voices = hands.devices.speaker.voices.value;
  return (
    <>
      <fieldset class="choice-row">
        <legend>{words.voice}</legend>
        {voices.length === 0 ? (
          <p class="quiet">{words.voiceNone}</p>
        ) : (
          <label class="field">
            <span>{words.voice}</span>
            <select
              name="hands-voice"
              value={prefs.voice.value}
              onChange={(e) => {
                prefs.voice.value = e.currentTarget.value;
              }}
            >
              <option value="">{words.voiceAuto}</option>
              {voices.map((v) => (
                <option key={v.voiceURI} value={v.voiceURI}>
                  {v.name} ({v.lang})
                </option>
              ))}
            </select>
          </label>
        )}
        <button type="button" class="button" data-do="try-voice" onClick={() => hands.trial()}>
          {words.tryVoice}
        </button>
      </fieldset>
      <Chips
        name="hands-rate"
        legend={words.rate}
        of={rates}
        picked={prefs.rate}
        label={(r) => words.rates[String(r) as keyof typeof words.rates]}
      />
    </>
  );
}

/** A pedal is a keyboard with one key: it is pressed once here, and known from then on. */
function PedalChoice() {
  const { prefs } = useApp().hands;
  const view = useView();
  const waiting = useSignal(false);
  useEffect(() => {
    if (!waiting.value) return;
    const listen = (e: KeyboardEvent) => {
      e.preventDefault();
      e.stopPropagation();
      if (["Shift", "Control", "Alt", "Meta"].includes(e.key)) return;
      if (e.key !== "Escape" && e.key !== "Tab") prefs.pedalKey.value = e.key;
      waiting.value = false;
    };
    addEventListener("keydown", listen, true);
    return () => removeEventListener("keydown", listen, true);
  }, [waiting.value, waiting, prefs]);
  if (view.sheet.value !== "hands-options") waiting.value = false;
  const key = prefs.pedalKey.value;
  const acts: Record<PedalAct, string> = text.hands.keys.rows;
  return (
    <>
      <Chips
        name="pedal-does"
        legend={words.pedal}
        of={pedalActs}
        picked={prefs.pedalDoes}
        label={(a) => acts[a]}
      />
      <p class="quiet">{words.pedalHint}</p>
      <p class="acts">
        <button
          type="button"
          class="button"
          data-do="set-pedal"
          aria-pressed={waiting.value}
          onClick={() => {
            waiting.value = true;
          }}
        >
          {waiting.value ? words.pedalWait : words.pedalSet}
        </button>
        <span data-part="pedal-key">{key ? words.pedalKey(keyName(key)) : words.pedalNone}</span>
        {key && (
          <button
            type="button"
            class="button"
            onClick={() => {
              prefs.pedalKey.value = "";
            }}
          >
            {words.pedalClear}
          </button>
        )}
      </p>
    </>
  );
}

export const keyName = (key: string): string =>
  key === " " ? text.hands.keys.space : key === "Escape" ? "Esc" : key;

function OnOff(props: { name: string; legend: string; flag: Signal<boolean> }) {
  return (
    <Chips
      name={props.name}
      legend={props.legend}
      of={[true, false]}
      picked={props.flag}
      label={(on) => (on ? words.on : words.off)}
    />
  );
}

export function Chips<T extends string | number | boolean>(props: {
  name: string;
  legend: string;
  of: readonly T[];
  picked: Signal<T>;
  label(choice: T): string;
}) {
  return (
    <fieldset class="choice-row">
      <legend>{props.legend}</legend>
      {props.of.map((choice) => (
        <label key={String(choice)} class="chip">
          <input
            type="radio"
            name={props.name}
            checked={props.picked.value === choice}
            onChange={() => {
              props.picked.value = choice;
            }}
          />
          <span>{props.label(choice)}</span>
        </label>
      ))}
    </fieldset>
  );
}
