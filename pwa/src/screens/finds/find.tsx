import { useSignal } from "@preact/signals";
import { certainties, type Find, fates, lyingIn, type PlaceOf } from "../../core/journal";
import { text } from "../../text";
import { Chips, Select } from "../form/controls";
import { NoteInput, TextInput } from "../form/saving";
import { TroubleWords } from "../weigh/trouble-words";
import { Conflicts } from "./conflicts";
import { Deleted, Held } from "./deleted";
import { EditButton } from "./edit-button";
import { CoinForm, KindInput } from "./find-coin";
import { FindWeight } from "./find-weight";
import { History } from "./history";
import { FindPhotos } from "./photos";
import type { Save, Write } from "./save";
import { Trophy } from "./trophy";
import { useNames, usePendingEdits, useRecord, useRecords } from "./use";
import { dayWords, type Names } from "./words";

/** One find: a trophy to be looked at, and behind one button all that can be said of it. */
export function FindPage({ record }: { record: string }) {
  const records = useRecords();
  const names = useNames();
  const edits = usePendingEdits(record);
  const editing = useSignal(false);
  const read = useRecord(record).value;
  if (read.is === "reading") return <p class="quiet">{text.finds.loading}</p>;
  if (read.is === "failed") {
    return (
      <>
        <Back />
        {read.trouble.is === "core" ? <p>{text.finds.gone}</p> : <TroubleWords trouble={read.trouble} />}
      </>
    );
  }
  const find = edits.overFind(read.value);
  if (!find) return <Back />;
  const write: Write = (what, set) =>
    edits.save(set, find.ids, (saw) => records.acts.write(what, { kind: "find", record, set, saw }));
  const save: Save = (set) => write("saved", set);
  return (
    <article class="find" data-part="find" data-record={record}>
      <Back />
      <Deleted record={find} names={names} plain={text.finds.deleted} write={write} />
      {find.caution && (
        <p class="problem-box" role="alert" data-part="caution">
          {find.caution}
        </p>
      )}
      <Conflicts record={find} names={names} write={write} />
      <Held record={find}>
        <div class="trophy">
          <FindPhotos find={find} edits={edits} editing={editing.value} />
          <Trophy find={find} names={names} />
        </div>
        <FindWeight find={find} />
        {!find.deleted && <EditButton editing={editing} fields="find-fields" />}
        {editing.value && (
          <div class="find-fields" id="find-fields" data-part="fields">
            <Fields find={find} names={names} save={save} />
            <History history={read.value.history} names={names} write={write} />
            <div class="find-delete">
              <button
                type="button"
                class="button danger"
                data-do="delete"
                onClick={() => void write("deleted", { deleted: true })}
              >
                {text.finds.delete}
              </button>
              <p class="quiet small">{text.finds.deleteHint}</p>
            </div>
          </div>
        )}
      </Held>
    </article>
  );
}

/** Everything is saved as it is entered. */
function Fields({ find, names, save }: { find: Find; names: Names; save: Save }) {
  const records = useRecords();
  return (
    <>
      <CoinForm find={find} save={save} />
      <section class="card" aria-label={text.finds.what}>
        <h3>{text.finds.what}</h3>
        <KindInput find={find} save={save} />
        <Chips
          name="certainty"
          label={text.finds.certainty}
          value={find.certainty}
          options={certainties}
          words={text.finds.certainties}
          onPick={(certainty) => save({ certainty })}
        />
        <NoteInput value={find.note} lines={3} onSave={(note) => save({ note })} />
      </section>
      <Lies find={find} save={save} />
      <section class="card" aria-label={text.finds.fate}>
        <Chips
          name="fate"
          label={text.finds.fate}
          value={find.fate}
          options={fates}
          words={text.finds.fates}
          onPick={(fate) => save({ fate })}
        />
        <FateCaution fate={find.fate} />
      </section>
      <Select
        name="hunt"
        label={text.finds.hunt}
        value={find.hunt ?? ""}
        none={text.finds.noHunt}
        options={records.going.all.value
          .filter((h) => !h.deleted || h.record === find.hunt)
          .map((h) => ({
            id: h.record,
            words: [names.hunt?.(h.record), dayWords(h.begun), h.deleted ? text.finds.tagDeleted : ""]
              .filter(Boolean)
              .join(", "),
          }))}
        onPick={(hunt) => save({ hunt: hunt || null })}
      />
    </>
  );
}

function Back() {
  return (
    <a class="back" href="#/finds">
      {text.finds.backToList}
    </a>
  );
}

function FateCaution({ fate }: { fate: string | undefined }) {
  const caution = fates.find((f) => f === fate);
  if (!caution) return null;
  return (
    <p class="quiet small" data-part="fate-caution">
      {text.finds.fateCautions[caution]}
    </p>
  );
}

function Lies({ find, save }: { find: Find; save: Save }) {
  const at = find.lies ?? {};
  const set = (change: PlaceOf) => {
    const next = { ...at, ...change };
    for (const key of ["in", "label", "where"] as const) if (!next[key]) delete next[key];
    return save({ lies: Object.keys(next).length > 0 ? next : null });
  };
  return (
    <section class="card" aria-label={text.finds.lies}>
      <h3>{text.finds.lies}</h3>
      <div class="tool-form">
        <Select
          name="lies-in"
          label={text.finds.lyingIn}
          value={at.in ?? ""}
          none={text.finds.unknown}
          options={lyingIn.map((id) => ({ id, words: text.finds.lyings[id] }))}
          onPick={(v) => set({ in: v })}
        />
        <TextInput
          name="lies-label"
          label={text.finds.label}
          value={at.label ?? ""}
          most={40}
          onSave={(label) => set({ label })}
        />
        <div class="wide">
          <TextInput
            name="lies-where"
            label={text.finds.where}
            value={at.where ?? ""}
            most={200}
            onSave={(where) => set({ where })}
          />
        </div>
      </div>
    </section>
  );
}
