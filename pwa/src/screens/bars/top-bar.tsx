import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { partIds } from "../../view/keyboard";
import { Places } from "./places";

/** The name, the line to the laptop while it isn't well, and the places, which a phone has under the thumb. */
export function TopBar({ desk }: { desk: boolean }) {
  const line = useApp().live.connection.value;
  return (
    <header class="top-bar">
      <button type="button" class="skip" onClick={skip}>
        {text.nav.skip}
      </button>
      <p class="name">
        <svg class="name-sign" viewBox="0 0 32 24" aria-hidden="true" focusable="false">
          <path
            d="M2 9c4 9 24 9 28 0"
            fill="none"
            stroke="currentColor"
            stroke-width="2.600"
            stroke-linecap="round"
          />
          <circle cx="13.500" cy="7" r="5" fill="currentColor" />
        </svg>
        <span class="name-word">{text.appName}</span>
      </p>
      {line !== "open" && (
        <p class="line-state" data-part="line" data-line={line}>
          <I name={line === "waiting" ? "lineLost" : "line"} />
          <span>{text.line[line]}</span>
        </p>
      )}
      <Places desk={desk} />
    </header>
  );
}

function skip() {
  document.getElementById(partIds.verdict)?.focus();
}
