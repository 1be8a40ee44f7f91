import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I, type IconName } from "../../view/icons";
import { Sheet } from "./sheet";

/** On a narrow screen: what the top bar has no room for. */
export function MenuSheet() {
  const app = useApp();
  const view = useView();
  const reading = app.live.reading.value;
  const virtual = "scale" in reading && reading.scale?.kind === "virtual";
  const to = (sheet: NonNullable<typeof view.sheet.value>) => () => {
    view.sheet.value = sheet;
  };
  return (
    <Sheet name="menu" title={text.menu.title}>
      <ul class="plain choices">
        <Choice
          icon="digits"
          words={text.typed.open}
          act={() => {
            view.sheet.value = null;
            location.hash = "#/weigh";
            app.typed.on.value = true;
          }}
        />
        <Choice icon="tools" words={text.nav.tools} act={to("tools")} />
        {virtual && <Choice icon="practice" words={text.nav.practice} act={to("practice")} />}
        <Choice icon="keyboard" words={text.nav.keys} act={to("keys")} />
        <Choice icon="settings" words={text.nav.settings} act={to("settings")} />
      </ul>
    </Sheet>
  );
}

function Choice(props: { icon: IconName; words: string; act(): void }) {
  return (
    <li>
      <button type="button" class="choice" data-menu={props.icon} onClick={props.act}>
        <I name={props.icon} />
        <span>{props.words}</span>
      </button>
    </li>
  );
}
