import { type HandsAct, handsKeys } from "../../hands/hands";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { shortcutKeys } from "../../view/keyboard";
import { keyName } from "./hands-options";
import { Sheet } from "./sheet";

/** Which key does what. */
export function KeysSheet() {
  const app = useApp();
  const names = Object.keys(shortcutKeys) as (keyof typeof shortcutKeys)[];
  return (
    <Sheet name="keys" title={text.shortcuts.title}>
      <p>{app.prefs.shortcuts.value ? text.shortcuts.intro : text.shortcuts.off}</p>
      <dl class="shortcuts">
        {names.map((name) => (
          <div key={name}>
            <dt>
              <kbd>{shortcutKeys[name]}</kbd>
            </dt>
            <dd>{text.shortcuts.rows[name]}</dd>
          </div>
        ))}
      </dl>
      <HandsKeys />
    </Sheet>
  );
}

/** The keys of a sitting, and the pedal's. */
function HandsKeys() {
  const { prefs } = useApp().hands;
  const rows: Record<HandsAct, string> = text.hands.keys.rows;
  const pedal = prefs.pedalKey.value;
  return (
    <>
      <h3>{text.hands.keys.title}</h3>
      <dl class="shortcuts">
        {Object.entries(handsKeys).map(([key, act]) => (
          <div key={key}>
            <dt>
              <kbd>{keyName(key)}</kbd>
            </dt>
            <dd>{rows[act]}</dd>
          </div>
        ))}
        <div>
          <dt>
            <kbd>{pedal ? keyName(pedal) : text.weight.noNumber}</kbd>
          </dt>
          <dd>
            {text.hands.keys.pedalRow}
            {pedal && `: ${rows[prefs.pedalDoes.value]}`}
          </dd>
        </div>
      </dl>
    </>
  );
}
