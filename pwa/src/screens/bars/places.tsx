import { text } from "../../text";
import { type SheetName, useApp, useView } from "../../view/context";
import { I, type IconName } from "../../view/icons";
import { recordsAt, toolAt } from "../../view/places";

/** The places of the app, at most five, each with its word. */
export function Places({ desk }: { desk: boolean }) {
  const app = useApp();
  const view = useView();
  const place = view.place.value;
  const weigh = !desk || place === "weigh";
  const here = recordsAt(place) ? "finds" : toolAt(place) ? "tools" : weigh ? "weigh" : "desk";
  return (
    <nav class="places" aria-label={text.nav.label}>
      {desk && <Place name="desk" icon="phone" href="#/desk" here={here === "desk"} />}
      <Place
        name="weigh"
        icon="scale"
        href="#/weigh"
        here={here === "weigh"}
        act={() => {
          app.manualWeight.on.value = false;
        }}
      />
      <Place name="finds" icon="finds" href="#/finds" here={here === "finds"} />
      {!desk && <Place name="keepList" sheet="keep-list" icon="always" />}
      <Place name="tools" icon="tools" sheet="tools" here={here === "tools"} />
      <Place name="settings" icon="settings" sheet="settings" />
    </nav>
  );
}

function Place(props: {
  name: "desk" | "weigh" | "finds" | "keepList" | "tools" | "settings";
  icon: IconName;
  /** A screen, or a sheet over the one that is there. */
  href?: string;
  sheet?: SheetName;
  here?: boolean;
  act?(): void;
}) {
  const view = useView();
  const inside = (
    <>
      <I name={props.icon} />
      <span>{text.nav[props.name]}</span>
    </>
  );
  if (props.href) {
    return (
      <a
        class="place"
        href={props.href}
        data-do={props.name}
        aria-current={props.here ? "page" : undefined}
        onClick={props.act}
      >
        {inside}
      </a>
    );
  }
  const { sheet = null } = props;
  return (
    <button
      type="button"
      class="place"
      data-do={sheet}
      data-here={props.here || undefined}
      onClick={() => {
        view.sheet.value = sheet;
      }}
    >
      {inside}
    </button>
  );
}
