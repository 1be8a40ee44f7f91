import { DeskScreen } from "../screens/desk/desk";
import { JoinScreen } from "../screens/join/join";
import { DenominationsSheet } from "../screens/sheets/denominations";
import { KeysSheet } from "../screens/sheets/keys";
import { PracticeSheet } from "../screens/sheets/practice";
import { SettingsSheet } from "../screens/sheets/settings";
import { WeighScreen } from "../screens/weigh/weigh";
import { useApp, useView } from "./context";
import { TopBar } from "./top-bar";

/** The screen for where this device stands, with what lies over every screen. */
export function Root() {
  const app = useApp();
  const view = useView();
  const state = app.session.state.value;
  if (state.at !== "joined") return <JoinScreen />;
  const desk = state.device.role === "desk" && view.place.value !== "weigh";
  return (
    <div class="page" data-screen={desk ? "desk" : "weigh"}>
      <TopBar desk={state.device.role === "desk"} />
      {desk ? <DeskScreen /> : <WeighScreen />}
      <p class="unseen" role="status" aria-live="polite" data-part="announced">
        {app.announcer.words.value}
      </p>
      <SettingsSheet />
      <KeysSheet />
      <PracticeSheet />
      <DenominationsSheet />
    </div>
  );
}
