import { text } from "../../text";
import { useRecords } from "./use";

/** How the phone and the laptop stand to each other, and what keeps them apart. */
export function SyncPanel() {
  const records = useRecords();
  const n = records.journal.onlyHere.value;
  const { doing, ended, leftOver, unreadable } = records.sync;
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
              : records.sync.unread.value > 0
                ? text.finds.unread(records.sync.unread.value)
                : text.finds.soon}
          </p>
        )}
        {d.is === "nothing" && !waiting && e.is === "well" && records.sync.wanted.value.length === 0 && (
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
        {records.journal.unreadable.value > 0 && (
          <p class="problem">{text.finds.unreadable(records.journal.unreadable.value)}</p>
        )}
        {unreadable.value > 0 && (
          <>
            <p class="problem" data-part="unreadable">
              {text.finds.unreadableThere(unreadable.value)}
            </p>
            <p class="quiet">{text.finds.unreadableThereWhy}</p>
          </>
        )}
      </div>
      {waiting && d.is === "nothing" && (
        <button type="button" class="button" data-do="send" onClick={() => records.sync.wake()}>
          {text.finds.sendNow}
        </button>
      )}
    </div>
  );
}

/** What the browser promised, and what is kept of photos. */
export function StoringPanel() {
  const records = useRecords();
  const promise = records.persistence.granted.value;
  return (
    <details class="more-panel">
      <summary>{text.finds.storing}</summary>
      {promise !== null && (
        <p data-part="persisted" data-yes={promise || undefined}>
          {promise ? text.finds.persisted : text.finds.notPersisted}
        </p>
      )}
      {promise === false && (
        <button type="button" class="button" onClick={() => void records.persistence.ask()}>
          {text.finds.askAgain}
        </button>
      )}
      <label class="check">
        <input
          type="checkbox"
          checked={records.originals.value}
          onChange={(e) => {
            records.originals.value = e.currentTarget.checked;
          }}
        />
        <span>{text.finds.originals}</span>
      </label>
      <p class="quiet small">{text.finds.originalsHint}</p>
    </details>
  );
}
