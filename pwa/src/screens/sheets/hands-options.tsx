import type { Signal } from "@preact/signals";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { rates } from "../../device/speech";
import { tones } from "../../device/tones";
import { type PedalAct, pedalActs, says } from "../../hands/hands-prefs";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { Choices, Select } from "../form/controls";
import { Sheet } from "./sheet";

/** How a sitting is heard, felt and steered. */
export function HandsOptionsSheet() {
  const { handsFree } = useApp();
  const { prefs } = handsFree;
  return (
    <Sheet name="hands-options" title={text.handsOptions.title}>
      <Pref
        name="hands-say"
        legend={text.handsOptions.say}
        of={says}
        pref={prefs.say}
        words={(s) => text.handsOptions.says[s]}
      />
      <VoiceChoice />
      <OnOff name="hands-tones" legend={text.handsOptions.tones} flag={prefs.tones} />
      <ul class="plain choices tone-samples">
        {tones.map((t) => (
          <li key={t}>
            <button type="button" class="choice" data-tone={t} onClick={() => handsFree.sample(t)}>
              {text.handsOptions.play(text.handsOptions.toneNames[t])}
            </button>
          </li>
        ))}
      </ul>
      <OnOff name="hands-shake" legend={text.handsOptions.shake} flag={prefs.shake} />
      <OnOff name="hands-captions" legend={text.handsOptions.captions} flag={prefs.captions} />
      <PedalChoice />
    </Sheet>
  );
}

function VoiceChoice() {
  const { handsFree } = useApp();
  const { prefs } = handsFree;
  const voices = handsFree.devices.speaker.voices.value;
  return (
    <>
      <fieldset class="choice-row">
        <legend>{text.handsOptions.voice}</legend>
        {voices.length === 0 ? (
          <p class="quiet">{text.handsOptions.voiceNone}</p>
        ) : (
          <Select
            name="hands-voice"
            label={text.handsOptions.voice}
            none={text.handsOptions.voiceAuto}
            value={prefs.voice.value}
            options={voices.map((v) => ({ id: v.voiceURI, words: `${v.name} (${v.lang})` }))}
            onPick={(voice) => {
              prefs.voice.value = voice;
            }}
          />
        )}
        <button type="button" class="button" data-do="try-voice" onClick={() => handsFree.trial()}>
          {text.handsOptions.tryVoice}
        </button>
      </fieldset>
      <Pref
        name="hands-rate"
        legend={text.handsOptions.rate}
        of={rates}
        pref={prefs.rate}
        words={(r) => text.handsOptions.rates[String(r) as keyof typeof text.handsOptions.rates]}
      />
    </>
  );
}

/** A pedal is a keyboard with one key: it is pressed once here, and known from then on. */
function PedalChoice() {
  const { prefs } = useApp().handsFree;
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
      <Pref
        name="pedal-does"
        legend={text.handsOptions.pedal}
        of={pedalActs}
        pref={prefs.pedalDoes}
        words={(a) => acts[a]}
      />
      <p class="quiet">{text.handsOptions.pedalHint}</p>
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
          {waiting.value ? text.handsOptions.pedalWait : text.handsOptions.pedalSet}
        </button>
        <span data-part="pedal-key">
          {key ? text.handsOptions.pedalKey(keyName(key)) : text.handsOptions.pedalNone}
        </span>
        {key && (
          <button
            type="button"
            class="button"
            onClick={() => {
              prefs.pedalKey.value = "";
            }}
          >
            {text.handsOptions.pedalClear}
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
    <Pref
      name={props.name}
      legend={props.legend}
      of={[true, false]}
      pref={props.flag}
      words={(on) => (on ? text.handsOptions.on : text.handsOptions.off)}
    />
  );
}

/** A choice that is kept as it is picked. */
export function Pref<T extends string | number | boolean>(props: {
  name: string;
  legend: string;
  of: readonly T[];
  pref: Signal<T>;
  words(choice: T): string;
}) {
  const { pref, ...rest } = props;
  return (
    <Choices
      {...rest}
      picked={pref.value}
      onPick={(choice) => {
        pref.value = choice;
      }}
    />
  );
}
