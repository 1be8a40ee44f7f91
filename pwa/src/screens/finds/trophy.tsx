import type { Find } from "../../core/journal";
import { text } from "../../text";
import { measuredWords } from "../bench/ruler-words";
import { CallBadge } from "./call-badge";
import { useRecords } from "./use";
import {
  callOf,
  kindName,
  type Names,
  titleWords,
  valueWords,
  weightWords,
  whenWords,
  wordFor,
} from "./words";
import "./trophy.css";

/** What somebody who is shown a find wants to know of it, without a field in sight. */
export function Trophy({ find, names }: { find: Find; names: Names }) {
  const onlyHere = useRecords().journal.unsentRecords.value.has(find.record);
  const { title, coin } = titleWords(find, names.countries);
  const country = names.countries?.find((c) => c.id === find.coin?.country)?.name ?? "";
  const kind = [kindName(names.key, find.kind), wordFor(text.finds.certainties, find.certainty)];
  const facts: [string, string][] = [
    [text.finds.kind, kind.filter(Boolean).join(", ")],
    [
      text.finds.fields.measure,
      Object.values(find.measures ?? {})
        .map(measuredWords)
        .join("; "),
    ],
    [text.finds.note, find.note ?? ""],
    [text.finds.lies, find.lies ? valueWords("lies", find.lies, names) : ""],
    [text.finds.fate, wordFor(text.finds.fates, find.fate)],
    [text.finds.hunt, find.hunt ? (names.hunt?.(find.hunt) ?? "") : ""],
    [text.finds.found, whenWords(find.found)],
  ];
  return (
    <section class="trophy-words" aria-labelledby="find-title" data-part="trophy">
      <p class="quiet">{[coin, country].filter(Boolean).join(" · ")}</p>
      <h2 id="find-title">{title}</h2>
      <p class="trophy-line">
        <CallBadge call={callOf(find)} />
        <span class="find-weight figures" data-part="trophy-weight">
          {weightWords(find) || text.finds.noWeight}
        </span>
        {onlyHere && <span class="tag">{text.finds.tagOnlyHere}</span>}
      </p>
      {find.verdict && <p data-part="claimed">{find.verdict.headline}</p>}
      <dl class="facts">
        {facts
          .filter(([, words]) => words)
          .map(([name, words]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{words}</dd>
            </div>
          ))}
      </dl>
    </section>
  );
}
