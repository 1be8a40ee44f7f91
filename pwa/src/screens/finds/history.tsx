import type { Find, Hunt, PastEntry } from "../../core/journal";
import { text } from "../../text";
import { useDoor } from "./use";
import { fieldWords, type Names, newestFirst, valueWords, whenWords } from "./words";

/** Everything that was ever written of a record; an earlier value can be taken again. */
export function History(props: {
  kind: "find" | "hunt";
  history: PastEntry[];
  record: Find | Hunt;
  names: Names;
}) {
  const door = useDoor();
  const { kind, record, names } = props;
  const again = (e: PastEntry) =>
    void door.act("restored", {
      kind,
      record: record.record,
      set: { [e.field]: e.value },
      saw: record.ids,
    });
  return (
    <details class="more-panel" data-part="history">
      <summary>{text.finds.history}</summary>
      <ol class="plain history">
        {newestFirst(props.history).map((e) => (
          <li key={e.id} data-now={e.now}>
            <span class="history-words">
              <strong>{fieldWords(e.field)}</strong> {valueWords(e.field, e.value, names)}
              <span class="quiet small">
                {" "}
                {whenWords(e.at)} · {text.finds.states[e.now]}
              </span>
            </span>
            {e.now !== "shown" && (
              <button type="button" class="button" data-do="again" onClick={() => again(e)}>
                {text.finds.again}
              </button>
            )}
          </li>
        ))}
      </ol>
    </details>
  );
}
