import { useApp } from "../../app/context";
import { shortcutKeys } from "../../app/keyboard";
import { text } from "../../text";
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
    </Sheet>
  );
}
