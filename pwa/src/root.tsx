import { NewerBar } from "./screens/bars/newer-bar";
import { OnlyHereBar } from "./screens/bars/only-here";
import { RecordsBar } from "./screens/bars/records-bar";
import { SharedBar } from "./screens/bars/shared-bar";
import { StrangerBar } from "./screens/bars/stranger-bar";
import { TopBar } from "./screens/bars/top-bar";
import { WantedBar } from "./screens/bars/wanted-bar";
import { DeskScreen } from "./screens/desk/desk";
import { JoinScreen } from "./screens/join/join";
import { DenominationsSheet } from "./screens/sheets/denominations";
import { AsideSheet } from "./screens/sheets/hands-aside";
import { HandsOptionsSheet } from "./screens/sheets/hands-options";
import { HandsSummarySheet } from "./screens/sheets/hands-summary";
import { KeepListSheet } from "./screens/sheets/keep-list";
import { KeyboardSheet } from "./screens/sheets/keyboard";
import { PracticeSheet } from "./screens/sheets/practice";
import { RejoinSheet } from "./screens/sheets/rejoin";
import { SettingsSheet } from "./screens/sheets/settings";
import { ToolsSheet } from "./screens/sheets/tools";
import { ToolScreen } from "./screens/tools/tool";
import { PanBar } from "./screens/weigh/hands-pan";
import { WeighScreen } from "./screens/weigh/weigh";
import { text } from "./text";
import { useApp, useView } from "./view/context";
import { lazy } from "./view/lazy";
import { recordsAt, toolAt } from "./view/places";

const RecordsScreen = lazy(
  () => import("./screens/finds/records").then((m) => m.RecordsScreen),
  () => text.finds.loading,
);

/** The screen for where this device stands, with what lies over every screen. */
export function Root() {
  const app = useApp();
  const view = useView();
  const state = app.session.state.value;
  if (state.at !== "joined") {
    return (
      <>
        <OnlyHereBar />
        <JoinScreen />
      </>
    );
  }
  const tool = toolAt(view.place.value);
  const records = recordsAt(view.place.value);
  const desk = state.device.role === "desk" && view.place.value !== "weigh";
  // There it would push the coins down in the middle of them; it stands below what is counted.
  const sitting = !tool && !records && !desk && app.handsFree.on.value;
  return (
    <div class="page" data-screen={tool || records ? "tool" : desk ? "desk" : "weigh"}>
      <TopBar desk={state.device.role === "desk"} />
      <NewerBar />
      <StrangerBar />
      {!sitting && <OnlyHereBar weighing={!tool && !records && !desk} />}
      <WantedBar />
      <RecordsBar desk={state.device.role === "desk"} />
      <SharedBar />
      <PanBar />
      {records ? (
        <RecordsScreen at={records} />
      ) : tool ? (
        <ToolScreen at={tool} />
      ) : desk ? (
        <DeskScreen />
      ) : (
        <WeighScreen />
      )}
      <p class="unseen" role="status" aria-live="polite" data-part="announced">
        {app.announcer.words.value}
      </p>
      <SettingsSheet />
      <KeyboardSheet />
      <PracticeSheet />
      <DenominationsSheet />
      <ToolsSheet />
      <KeepListSheet />
      <HandsOptionsSheet />
      <HandsSummarySheet />
      <AsideSheet />
      <RejoinSheet />
    </div>
  );
}
