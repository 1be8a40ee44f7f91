import { text } from "../../text";
import { useDoor } from "./use";

/** How the phone and the laptop stand to each other, and what keeps them apart. */
export function SyncPanel() {
  const door = useDoor();
  const n = door.journal.onlyHere.value;
  const { doing, ended, leftOver } = door.sync;
  const waiting = n.finds + n.hunts + n.others + n.photos > 0;
  const e = ended.value;
  const d = doing.value;
  return (
    <div class="sync-panel" role="status" data-part="sync" data-waiting={waiting || undefined}>
      <div class="sync-words">
        {d.is === "entries" && <p>{text.finds.sendingEntries}</p>}
        {d.is === "photos" && (
          <>
            <p>{text.finds.sendingPhotos(d.progress.done, d.progress.of)}</p>
            <progress max={d.progress.of} value={d.progress.done + d.progress.part} />
          </>
        )}
        {d.is === "nothing" && waiting && e.is !== "refused" && (
          <p>
            {e.is !== "well"
              ? text.finds.waiting
              : door.sync.unread.value > 0
                ? text.finds.unread(door.sync.unread.value)
                : text.finds.soon}
          </p>
        )}
        {d.is === "nothing" && !waiting && e.is === "well" && door.sync.wanted.value.length === 0 && (
          <p class="quiet">{text.finds.allThere}</p>
        )}
        {d.is === "nothing" && e.is === "refused" && (
          <p class="problem" data-part="sync-refused" data-code={e.code}>
            {e.sentence ? text.finds.laptopSays(e.sentence) : text.finds.syncFailed}
          </p>
        )}
        {e.is === "store" && (
          <p class="problem">
            {text.finds.endedStore} {text.finds.store[e.trouble]}
          </p>
        )}
        {leftOver.value && (
          <p class="problem">
            {text.finds.leftOver} {leftOver.value}
          </p>
        )}
        {door.journal.unreadable.value > 0 && (
          <p class="problem">{text.finds.unreadable(door.journal.unreadable.value)}</p>
        )}
      </div>
      {waiting && d.is === "nothing" && (
        <button type="button" class="button" data-do="send" onClick={() => door.sync.wake()}>
          {text.finds.sendNow}
        </button>
      )}
    </div>
  );
}

/** What the browser promised, and what is kept of photos. */
export function StoringPanel() {
  const door = useDoor();
  const promise = door.persisted.value;
  return (
    <details class="more-panel">
      <summary>{text.finds.storing}</summary>
      {promise !== null && (
        <p data-part="persisted" data-yes={promise || undefined}>
          {promise ? text.finds.persisted : text.finds.notPersisted}
        </p>
      )}
      {promise === false && (
        <button type="button" class="button" onClick={() => void door.persist()}>
          {text.finds.askAgain}
        </button>
      )}
      <label class="check">
        <input
          type="checkbox"
          checked={door.originals.value}
          onChange={(e) => {
            door.originals.value = e.currentTarget.checked;
          }}
        />
        <span>{text.finds.originals}</span>
      </label>
      <p class="quiet small">{text.finds.originalsHint}</p>
    </details>
  );
}
