import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { nothingOnlyHere } from "../../records/only-here";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";

/** What reaches the laptop within this time isn’t said while weighing. */
const soonMs = 10_000;

/**
 * Says what is on this phone and nowhere else, on every screen, for as long as
 * it is true. While weighing it is said once it lasts: it would push the weight
 * down and up again with every coin.
 */
export function OnlyHereBar({ weighing = false }: { weighing?: boolean }) {
  const { finds, session } = useApp();
  const door = finds.value;
  const state = session.state.value;
  const n = door?.journal.onlyHere.value ?? nothingOnlyHere;
  const some = n.finds + n.hunts + n.others + n.photos > 0;
  const lasts = useSignal(false);
  useEffect(() => {
    lasts.value = false;
    if (!some) return;
    const timer = setTimeout(() => {
      lasts.value = true;
    }, soonMs);
    return () => clearTimeout(timer);
  }, [some, lasts]);
  if (!door || !some || (weighing && !lasts.value)) return null;
  const doing = door.sync.doing.value;
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
