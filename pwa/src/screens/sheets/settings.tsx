import { handSides, themes } from "../../device/prefs";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { DeviceName } from "./device-name";
import { Chips } from "./hands-options";
import { InstallPart } from "./install";
import { LaptopPart } from "./laptop";
import { Sheet } from "./sheet";

/** The person's choices on this device, who it is, and the cautions. */
export function SettingsSheet() {
  const app = useApp();
  const view = useView();
  const state = app.session.state.value;
  return (
    <Sheet name="settings" title={text.settings.title}>
      <fieldset class="choice-row">
        <legend>{text.settings.theme}</legend>
        {themes.map((t) => (
          <label key={t} class="chip">
            <input
              type="radio"
              name="theme"
              checked={app.prefs.theme.value === t}
              onChange={() => {
                app.prefs.theme.value = t;
              }}
            />
            <span>{text.settings.themes[t]}</span>
          </label>
        ))}
      </fieldset>
      <Chips
        name="hand"
        legend={text.layout.hand}
        of={handSides}
        picked={app.prefs.hand}
        label={(h) => text.layout.hands[h]}
      />
      <p class="sheet-act">
        <button
          type="button"
          class="button"
          data-do="hands-options"
          onClick={() => {
            view.sheet.value = "hands-options";
          }}
        >
          {text.hands.title}: {text.handsOptions.title}
        </button>
      </p>
      <fieldset class="choice-row">
        <legend>{text.settings.shortcuts}</legend>
        {[true, false].map((on) => (
          <label key={String(on)} class="chip">
            <input
              type="radio"
              name="shortcuts"
              checked={app.prefs.shortcuts.value === on}
              onChange={() => {
                app.prefs.shortcuts.value = on;
              }}
            />
            <span>{on ? text.settings.on : text.settings.off}</span>
          </label>
        ))}
        <p class="quiet">{text.settings.shortcutsHint}</p>
      </fieldset>
      <p>
        <button
          type="button"
          class="button"
          onClick={() => {
            app.prefs.hintsDone.value = false;
            view.sheet.value = null;
          }}
        >
          {text.settings.hints}
        </button>
      </p>
      {state.at === "joined" && app.session.canRename.value && <DeviceName name={state.device.name} />}
      {state.at === "joined" && (
        <dl class="facts">
          {!app.session.canRename.value && (
            <div>
              <dt>{text.settings.device}</dt>
              <dd>{state.device.name}</dd>
            </div>
          )}
          <div>
            <dt>{text.settings.laptop}</dt>
            <dd>{state.server.name}</dd>
          </div>
          <div>
            <dt>{text.settings.key}</dt>
            <dd class="fingerprint">{state.server.fingerprint}</dd>
          </div>
        </dl>
      )}
      <LaptopPart />
      <OfflineState />
      <InstallPart />
      <h3>{text.settings.care}</h3>
      <ul class="care">
        {text.settings.cares.map((care) => (
          <li key={care}>{care}</li>
        ))}
      </ul>
    </Sheet>
  );
}

/** Whether the app opens with the laptop closed, and if not, what is missing. */
function OfflineState() {
  const state = useView().copy.state.value;
  return (
    <>
      <h3>{text.offline.title}</h3>
      <p data-part="offline" data-offline={state}>
        {text.offline.states[state]}
      </p>
      {(state === "untrusted" || state === "unsafe") && (
        <p>
          <a class="lone-link" href="/trust">
            {text.offline.steps}
          </a>
        </p>
      )}
    </>
  );
}
