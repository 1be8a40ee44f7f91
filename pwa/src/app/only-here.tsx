import { text } from "../text";
import { useApp } from "./context";
import { I } from "./icons";

/** Says what is on this phone and nowhere else, on every screen, for as long as it is true. */
export function OnlyHereBar() {
  const { finds, session } = useApp();
  const door = finds.value;
  const state = session.state.value;
  if (!door) return null;
  const n = door.journal.onlyHere.value;
  const doing = door.sync.doing.value;
  if (n.finds + n.hunts + n.others + n.photos === 0) return null;
  return (
    <aside aria-label={text.finds.onlyHereLabel}>
      <a class="only-here" href="#/finds" data-part="only-here" data-doing={doing.is}>
        <I name="phone" />
        <span>{text.finds.onlyHere(n, state.at === "joined" && state.device.role === "desk")}</span>
        {doing.is === "photos" && (
          <progress
            class="only-here-progress"
            max={doing.progress.of}
            value={doing.progress.done + doing.progress.part}
            aria-label={text.finds.sendingPhotos(doing.progress.done, doing.progress.of)}
          />
        )}
      </a>
    </aside>
  );
}
