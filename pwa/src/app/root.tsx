import { DeskScreen } from "../screens/desk/desk";
import { JoinScreen } from "../screens/join/join";
import { DenominationsSheet } from "../screens/sheets/denominations";
import { KeysSheet } from "../screens/sheets/keys";
import { PracticeSheet } from "../screens/sheets/practice";
import { SettingsSheet } from "../screens/sheets/settings";
import { ToolsSheet } from "../screens/sheets/tools";
import { ToolScreen } from "../screens/tools/tool";
import { WeighScreen } from "../screens/weigh/weigh";
import { useApp, useView } from "./context";
import { NewerBar } from "./newer-bar";
import { toolAt } from "./places";
import { TopBar } from "./top-bar";

/** The screen for where this device stands, with what lies over every screen. */
export function Root() {
  const app = useApp();
  const view = useView();
  const state = app.session.state.value;
  if (state.at !== "joined") return <JoinScreen />;
  const tool = toolAt(view.place.value);
  const desk = state.device.role === "desk" && view.place.value !== "weigh";
  return (
    <div class="page" data-screen={tool ? "tool" : desk ? "desk" : "weigh"}>
      <TopBar desk={state.device.role === "desk"} />
      <NewerBar />
      {tool ? <ToolScreen at={tool} /> : desk ? <DeskScreen /> : <WeighScreen />}
      <p class="unseen" role="status" aria-live="polite" data-part="announced">
        {app.announcer.words.value}
      </p>
      <SettingsSheet />
      <KeysSheet />
      <PracticeSheet />
      <DenominationsSheet />
      <ToolsSheet />
    </div>
  );
}
