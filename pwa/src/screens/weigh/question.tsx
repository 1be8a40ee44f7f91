import type { AnsweredQuestion, Named, OpenQuestion, Verdict } from "../../core/types";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { I } from "../../view/icons";
import { Drawing } from "./drawing";
import { KeepListChange } from "./keep-list-change";

/** The one thing to see between ordinary and rare, drawn, with its answers under the thumb. */
export function Question({ q, tellable }: { q: OpenQuestion; tellable: boolean }) {
  const { evidence } = useApp();
  return (
    <div class="question" data-part="question" data-question={q.id}>
      <p class="question-sentence">{q.sentence}</p>
      <div class="question-choices" role="group" aria-label={q.sentence} data-count={q.choices.length}>
        {q.choices.map((c) => (
          <button
            key={c.id}
            type="button"
            class="question-choice"
            data-choice={c.id}
            disabled={!tellable}
            onClick={() => evidence.set(q.id, c.id)}
          >
            <Drawing name={`${q.id}/${c.id}`} />
            <span>{c.name}</span>
          </button>
        ))}
      </div>
    </div>
  );
}

/** What was answered, each taken back by one tap. */
export function Answered({ list, tellable }: { list: AnsweredQuestion[]; tellable: boolean }) {
  const { evidence } = useApp();
  return (
    <>
      {list.map((a) => (
        <div key={a.id} class="answered" data-part="answered" data-question={a.id} data-choice={a.choice}>
          <p>{text.question.answered(nameOf(a))}</p>
          {tellable && (
            <button
              type="button"
              class="quiet-button"
              data-do="undo-answer"
              onClick={() => evidence.remove(a.id)}
            >
              {text.question.undo}
            </button>
          )}
        </div>
      ))}
    </>
  );
}

const nameOf = (a: AnsweredQuestion): string => a.choices.find((c) => c.id === a.choice)?.name ?? a.choice;

/** A coin is of a metal, a design and perhaps a set; more would push what to look at off the screen. */
const mostOffered = 3;

/** What of the hunter's list it is, and what could be put on it by one tap. */
export function Wanted({ verdict: v }: { verdict: Verdict }) {
  const { keepList } = useApp();
  const view = useView();
  const changed = keepList.undoable.value;
  // An older list in the core may offer what was just put on it.
  const could = v.could_keep.filter((w) => !keepList.entries.value.includes(w.id));
  const wanted = v.wanted.length > 0;
  if (!wanted && could.length === 0 && !changed) return null;
  return (
    <div class="wanted" data-part="wanted">
      {wanted && (
        <button
          type="button"
          class="wanted-names"
          data-do="keep-list"
          onClick={() => {
            view.sheet.value = "keep-list";
          }}
        >
          {v.call === "keeper" ? text.keepList.isOn(names(v.wanted)) : text.keepList.mayBe(names(v.wanted))}
        </button>
      )}
      {changed ? (
        <KeepListChange undo="undo-always" />
      ) : (
        could.length > 0 && (
          <div class="always" role="group" aria-label={text.keepList.always}>
            <span>
              <I name="always" />
              {text.keepList.always}
            </span>
            {could.slice(0, mostOffered).map((w) => (
              <button
                key={w.id}
                type="button"
                class="quiet-button"
                data-do="always-keep"
                data-want={w.id}
                onClick={() => keepList.add([w])}
              >
                {w.name}
              </button>
            ))}
          </div>
        )
      )}
    </div>
  );
}

const names = (list: Named[]): string => list.map((w) => w.name).join(", ");
