import { text } from "../../text";
import { useApp } from "../../view/context";
import { huntName } from "../finds/hunt-name";

/** The hunt that coins are counted for, so that nobody counts a whole evening for last week’s. */
export function HuntWords() {
  const door = useApp().finds.value;
  const going = door?.running.value;
  const paused = door?.hunts.value.find((h) => h.state === "paused");
  if (!going && !paused) return null;
  return (
    <small class="keep-hunt" data-part="keep-hunt">
      {going ? text.finds.keepFor(huntName(going)) : paused && text.finds.keepPaused(huntName(paused))}
    </small>
  );
}
