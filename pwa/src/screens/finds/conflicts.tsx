import type { Conflict, ConflictValue, Find, Hunt } from "../../core/journal";
import { text } from "../../text";
import { byWords } from "./by";
import type { Write } from "./save";
import { useOnDesk } from "./use";
import { fieldWords, type Names, valueWords, whenWords } from "./words";

/** Fields that were written on two phones which had not seen one another: the person decides. */
export function Conflicts(props: { record: Find | Hunt; names: Names; write: Write }) {
  const { record } = props;
  return (
    <>
      {record.conflicts.map((c) => (
        <ConflictOf key={c.field} {...props} conflict={c} />
      ))}
    </>
  );
}

function ConflictOf(props: { names: Names; conflict: Conflict; write: Write }) {
  const onDesk = useOnDesk();
  const { names, conflict } = props;
  const choose = (v: ConflictValue) => void props.write("saved", { [conflict.field]: v.value });
  return (
    <section class="problem-box conflict" data-part="conflict" data-field={conflict.field}>
      <h2>{text.finds.conflict(fieldWords(conflict.field))}</h2>
      <p class="small">{text.finds.conflictHint(conflict.others.length)}</p>
      <ul class="plain">
        {[conflict.shown, ...conflict.others].map((v, i) => (
          <li key={v.id} class="conflict-value">
            <span>
              {valueWords(conflict.field, v.value, names)}
              <span class="quiet small">
                {" "}
                {text.finds.writtenBy(byWords(v.by, onDesk), whenWords(v.at))}
                {i === 0 && `, ${text.finds.shownNow}`}
              </span>
            </span>
            <button type="button" class="button" data-do="choose" onClick={() => choose(v)}>
              {text.finds.choice}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
