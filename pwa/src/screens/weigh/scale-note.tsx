import type { ScaleInfo } from "../../live/wire";
import { text } from "../../text";
import { useApp } from "../../view/context";

/** Whether the scale's errors were measured, and how long ago: the way to the scale's own page. */
export function ScaleNote({ scale }: { scale: ScaleInfo }) {
  const age = useApp().keptCheck.kept.value?.check?.result.age ?? null;
  const old = scale.checked !== undefined && age?.old === true;
  const words = old
    ? text.scale.checkOld
    : scale.assumed
      ? text.weight.assumed
      : age
        ? text.scale.checkedAgo(age.days < 1 ? text.scale.today : text.scale.daysAgo(age.days))
        : "";
  if (!words) return null;
  return (
    <>
      {" "}
      <a
        class="quiet scale-note"
        href="#/scale"
        title={scale.assumed ? text.weight.assumedHint : undefined}
        data-part="scale-note"
        data-old={old || undefined}
      >
        {words}
      </a>
    </>
  );
}

/** Troubles that a person may mend by looking at the port, the line or its format. */
const mendable = [
  "no-scale",
  "not-a-scale",
  "scale-silent",
  "port-missing",
  "port-busy",
  "port-permission",
  "port-settings",
  "garbled",
  "unknown-unit",
  "ambiguous-unit",
  "too-coarse",
];

/** From a trouble with the scale to where it can be set by hand. */
export function WayToScale({ code }: { code: string }) {
  if (!mendable.includes(code)) return null;
  return (
    <p>
      <a class="lone-link" href="#/scale/cable">
        {text.scale.wayHere}
      </a>
    </p>
  );
}
