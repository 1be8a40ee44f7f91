import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I } from "../../view/icons";
import { addressOf, tools } from "../../view/places";
import { Sheet } from "./sheet";

/** What there is beside the weighing screen. */
export function ToolsSheet() {
  const view = useView();
  const reading = useApp().live.reading.value;
  const virtual = "scale" in reading && reading.scale?.kind === "virtual";
  return (
    <Sheet name="tools" title={text.toolbox.title}>
      <ul class="plain choices">
        {virtual && (
          <li>
            <button
              type="button"
              class="choice"
              data-tool="practice"
              onClick={() => {
                view.sheet.value = "practice";
              }}
            >
              <I name="practice" />
              <span>{text.nav.practice}</span>
            </button>
          </li>
        )}
        {tools.map((t) => (
          <li key={t}>
            <a
              class="tool-link"
              href={addressOf(t)}
              data-tool={t}
              onClick={() => {
                view.sheet.value = null;
              }}
            >
              <I name={t} />
              <span>
                <span class="tool-name">{text.toolbox.names[t]}</span>
                <span class="quiet tool-hint">{text.toolbox.hints[t]}</span>
              </span>
            </a>
          </li>
        ))}
      </ul>
    </Sheet>
  );
}
