import type { PastEntry } from "../../core/journal";
import { text } from "../../text";
import { byWords } from "./by";
import type { Write } from "./save";
import { useOnDesk } from "./use";
import { fieldWords, type Names, newestFirst, valueWords, whenWords } from "./words";

/** The gist of a verdict goes with it, and says the same. */
const isSaid = (e: PastEntry): boolean => e.field !== "gist";

/** Everything that was ever written of a record; an earlier value can be taken again. */
export function History(props: { history: PastEntry[]; names: Names; write: Write }) {
  const onDesk = useOnDesk();
  const { names } = props;
  const again = (e: PastEntry) => void props.write("restored", { [e.field]: e.value });
  return (
    <details class="more-panel" data-part="history">
      <summary>{text.finds.history}</summary>
      <ol class="plain history">
        {newestFirst(props.history)
          .filter(isSaid)
          .map((e) => (
            <li key={e.id} data-now={e.now}>
              <span class="history-words">
                <strong>{fieldWords(e.field)}</strong> {valueWords(e.field, e.value, names)}
                <span class="quiet small">
                  {" "}
                  {e.by ? text.finds.writtenBy(byWords(e.by, onDesk), whenWords(e.at)) : whenWords(e.at)} ·{" "}
                  {text.finds.states[e.now]}
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
