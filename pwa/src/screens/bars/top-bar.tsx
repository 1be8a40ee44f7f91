import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I } from "../../view/icons";
import { partIds } from "../../view/keyboard";
import { recordsAt, toolAt } from "../../view/places";

/** Name, line to the laptop, and the ways out of the screen. */
export function TopBar({ desk }: { desk: boolean }) {
  const app = useApp();
  const view = useView();
  const line = app.live.line.value;
  const reading = app.live.reading.value;
  const scale = "scale" in reading ? reading.scale : null;
  const here = recordsAt(view.place.value)
    ? "finds"
    : toolAt(view.place.value)
      ? "tool"
      : view.place.value === "weigh"
        ? "weigh"
        : "desk";
  const weighing = here !== "tool" && here !== "finds" && !(desk && here === "desk");
  return (
    <header class="top-bar" data-desk={desk || undefined}>
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
      <nav aria-label={text.nav.label}>
        {desk && (
          <>
            <a class="tab" href="#/desk" aria-current={here === "desk" ? "page" : undefined}>
              {text.nav.desk}
            </a>
            <a class="tab" href="#/weigh" aria-current={here === "weigh" ? "page" : undefined}>
              {text.nav.weigh}
            </a>
          </>
        )}
        {weighing && (
          <button
            type="button"
            class="icon-button"
            data-do="hands"
            aria-pressed={app.hands.on.value}
            onClick={() => (app.hands.on.value ? app.hands.end() : app.beginHands())}
          >
            <I name="hands" />
            <span class="unseen">{text.hands.open}</span>
          </button>
        )}
        {weighing && (
          <button
            type="button"
            class="icon-button"
            data-do="type"
            aria-pressed={app.typed.on.value}
            onClick={() => {
              app.typed.on.value = !app.typed.on.value;
            }}
          >
            <I name="digits" />
            <span class="unseen">{text.typed.open}</span>
          </button>
        )}
        <a
          class="icon-button"
          href="#/finds"
          data-do="finds"
          aria-current={here === "finds" ? "page" : undefined}
        >
          <I name="finds" />
          <span class="unseen">{text.finds.pages}</span>
        </a>
        <button
          type="button"
          class="icon-button"
          data-do="tools"
          data-here={here === "tool" || undefined}
          onClick={() => open("tools")}
        >
          <I name="tools" />
          <span class="unseen">{text.nav.tools}</span>
        </button>
        {scale?.kind === "virtual" && weighing && (
          <button type="button" class="icon-button" data-do="practice" onClick={() => open("practice")}>
            <I name="practice" />
            <span class="unseen">{text.nav.practice}</span>
          </button>
        )}
        <button
          type="button"
          class="icon-button only-with-keyboard"
          data-do="keys"
          onClick={() => open("keys")}
        >
          <I name="keyboard" />
          <span class="unseen">{text.nav.keys}</span>
        </button>
        <button type="button" class="icon-button" data-do="settings" onClick={() => open("settings")}>
          <I name="settings" />
          <span class="unseen">{text.nav.settings}</span>
        </button>
        <button type="button" class="icon-button" data-do="menu" onClick={() => open("menu")}>
          <I name="more" />
          <span class="unseen">{text.menu.title}</span>
        </button>
      </nav>
    </header>
  );

  function open(sheet: NonNullable<typeof view.sheet.value>) {
    view.sheet.value = sheet;
  }
}

function skip() {
  document.getElementById(partIds.verdict)?.focus();
}
