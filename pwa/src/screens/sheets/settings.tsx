import { handSides, themes } from "../../device/prefs";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { Choices } from "../form/controls";
import { LanguageChoice } from "../form/language";
import { DeviceName } from "./device-name";
import { Pref } from "./hands-options";
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
      <LanguageChoice />
      <Pref
        name="theme"
        legend={text.settings.theme}
        of={themes}
        pref={app.prefs.theme}
        words={(t) => text.settings.themes[t]}
      />
      <Pref
        name="hand"
        legend={text.layout.hand}
        of={handSides}
        pref={app.prefs.handedness}
        words={(h) => text.layout.hands[h]}
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
      <p class="sheet-act">
        <button
          type="button"
          class="button"
          data-do="keep-list-settings"
          onClick={() => {
            view.sheet.value = "keep-list";
          }}
        >
          {text.keepList.title}
        </button>
        <button
          type="button"
          class="button only-with-keyboard"
          data-do="keyboard"
          onClick={() => {
            view.sheet.value = "keyboard";
          }}
        >
          {text.nav.keyboard}
        </button>
      </p>
      <Choices
        name="shortcuts"
        legend={text.settings.shortcuts}
        of={[true, false]}
        picked={app.prefs.shortcuts.value}
        words={(on) => (on ? text.settings.on : text.settings.off)}
        onPick={(on) => {
          app.prefs.shortcuts.value = on;
        }}
      >
        <p class="quiet">{text.settings.shortcutsHint}</p>
      </Choices>
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
