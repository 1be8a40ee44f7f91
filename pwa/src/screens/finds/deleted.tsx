import type { ComponentChildren } from "preact";
import type { By, Find, Hunt, Overlooked } from "../../core/journal";
import { text } from "../../text";
import { byWords } from "./by";
import type { Write } from "./save";
import { useOnDesk } from "./use";
import { fieldWords, type Names, valueWords, whenWords } from "./words";
import "./decide.css";

/**
 * Says of a deleted record who deleted it, and what that one had not seen: then
 * a person decides whether it stays deleted.
 */
export function Deleted(props: { record: Find | Hunt; names: Names; plain: string; write: Write }) {
  const onDesk = useOnDesk();
  const { record, write } = props;
  if (!record.deleted) return null;
  const overlooked = record.overlooked ?? [];
  const by = record.deletion?.by;
  const keep = () => void write("restored", { deleted: null });
  if (overlooked.length === 0) {
    return (
      <div class="problem-box" data-part="deleted">
        <p>{props.plain}</p>
        <button type="button" class="button" data-do="restore" onClick={keep}>
          {text.finds.restore}
        </button>
      </div>
    );
  }
  const changers = overlooked.map((o) => o.by);
  const same = by !== undefined && changers.every((c) => samePhone(c, by));
  const words = same ? text.finds.deletedAndChanged : text.finds.deletedUnseen;
  const whose = [...new Set(changers.map((c) => byWords(c, onDesk)))];
  return (
    <div class="problem-box decide" data-part="deleted" data-overlooked={overlooked.length}>
      <p>
        {words(byWords(by, onDesk), whose, whatWords(overlooked, props.names))}{" "}
        <span class="quiet small">
          {text.finds.deletedWhen(
            whenWords(record.deletion?.at),
            whenWords(Math.max(...overlooked.map((o) => o.at))),
          )}
        </span>
      </p>
      <button type="button" class="button main" data-do="restore" onClick={keep}>
        {text.finds.keepAfterAll}
      </button>
      <button
        type="button"
        class="button danger"
        data-do="delete-again"
        onClick={() => void write("deleted", { deleted: true })}
      >
        {text.finds.deleteAfterAll}
      </button>
    </div>
  );
}

const samePhone = (a: By | undefined, b: By): boolean =>
  a !== undefined && (a.phone || "?") === b.phone && (a.here ?? false) === (b.here ?? false);

const mostValue = 40;

/** “Note (a good one), Photo (edge)”: each kind of change once. */
function whatWords(overlooked: Overlooked[], names: Names): string {
  const said = new Set(
    overlooked.map(({ field, value }) => {
      const words = /^(count|metal)\//.test(field) ? "" : valueWords(field, value, names);
      const short = words.length > mostValue ? `${words.slice(0, mostValue - 1).trimEnd()}…` : words;
      return short ? text.finds.changedTo(fieldWords(field), short) : fieldWords(field);
    }),
  );
  return [...said].join(", ");
}

/** What is deleted is read, and not written on, until it is taken back. */
export function Held(props: { record: Find | Hunt; children: ComponentChildren }) {
  return (
    <fieldset class="held" disabled={props.record.deleted}>
      {props.children}
    </fieldset>
  );
}
