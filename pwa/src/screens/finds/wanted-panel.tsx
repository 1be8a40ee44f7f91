import { text } from "../../text";
import { lostOf } from "../bars/wanted-bar";
import { useNames, useRecord, useRecords } from "./use";
import { coinWords, weightWords } from "./words";

/** Names the photos that the laptop has lost, by their finds. */
export function WantedPanel() {
  const list = lostOf(useRecords().sync.wanted.value);
  if (list.length === 0) return null;
  const nobody = list.some((w) => !w.here && w.waiting_for.length === 0);
  return (
    <details class="more-panel" data-part="wanted-list">
      <summary>{text.wanted.label}</summary>
      <ul class="plain">
        {list.map((w) => (
          <li key={w.photo} data-wanted={w.photo} data-why={w.why}>
            {w.record ? <FindName record={w.record} /> : text.wanted.noFind}: {text.wanted.whys[w.why]},{" "}
            {w.here
              ? text.wanted.here
              : w.waiting_for.length > 0
                ? text.wanted.waitingFor(w.waiting_for)
                : text.wanted.nobody}
          </li>
        ))}
      </ul>
      {nobody && <p class="quiet">{text.wanted.letGo}</p>}
    </details>
  );
}

function FindName({ record }: { record: string }) {
  const names = useNames();
  const read = useRecord(record).value;
  const find = read.is === "read" ? read.value.find : undefined;
  const words = find ? [coinWords(find.coin, names.countries), weightWords(find)] : [text.finds.unnamed];
  return <a href={`#/finds/${record}`}>{words.filter(Boolean).join(" · ")}</a>;
}
