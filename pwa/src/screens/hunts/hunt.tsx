import { useSignal } from "@preact/signals";
import { type Face, type Find, type Hunt, huntSources } from "../../core/journal";
import { plainNumber } from "../../core/plain-number";
import { text } from "../../text";
import { figure } from "../../text/writing";
import { useApp } from "../../view/context";
import { Conflicts } from "../finds/conflicts";
import { Deleted, Held } from "../finds/deleted";
import { EditButton } from "../finds/edit-button";
import { History } from "../finds/history";
import { huntName } from "../finds/hunt-name";
import { FindRow } from "../finds/row";
import type { Save, Write } from "../finds/save";
import { useNames, usePendingEdits, useRead, useRecord, useRecords } from "../finds/use";
import { spanWords, wordFor } from "../finds/words";
import { Chips, Select } from "../form/controls";
import { NoteInput, TextInput, TimeInput } from "../form/saving";
import { twoWays } from "../form/two-ways";
import { TroubleWords } from "../weigh/trouble-words";
import { AskSource } from "./ask-source";
import { AccountWords } from "./list";
import { coinsPerRoll, currencyOf, wholeNumber } from "./rolls";
import { endFrom, endingNow, TwoGoing } from "./two-going";

/** One hunt: what it gave so far, and behind one button all that can be said of it. */
export function HuntPage({ record }: { record: string }) {
  const records = useRecords();
  const names = useNames();
  const edits = usePendingEdits(record);
  const editing = useSignal(false);
  const read = useRecord(record).value;
  const back = (
    <a class="back" href="#/hunts">
      {text.hunts.backToList}
    </a>
  );
  if (read.is === "reading") return <p class="quiet">{text.finds.loading}</p>;
  if (read.is === "failed") {
    return (
      <>
        {back}
        {read.trouble.is === "core" ? <p>{text.finds.gone}</p> : <TroubleWords trouble={read.trouble} />}
      </>
    );
  }
  const hunt = edits.overHunt(read.value);
  if (!hunt) return back;
  const write: Write = (what, set) =>
    edits.save(set, hunt.ids, (saw) => records.acts.write(what, { kind: "hunt", record, set, saw }));
  const save: Save = (set) => write("hunt", set);
  return (
    <article class="find" data-part="hunt" data-record={record}>
      {back}
      <header class="find-head">
        <h2>{huntName(hunt)}</h2>
        <p class="quiet" data-part="hunt-span">
          {spanWords(hunt.begun, hunt.ended)}
        </p>
        <span class="tag" data-part="hunt-state">
          {text.hunts.states[hunt.state]}
        </span>
      </header>
      <Deleted record={hunt} names={names} plain={text.hunts.deleted} write={write} />
      <Conflicts record={hunt} names={names} write={write} />
      {hunt.ends_before_begin && (
        <p class="problem-box" role="alert" data-part="ends-before-begin">
          {text.hunts.endsBeforeBegin}
        </p>
      )}
      {hunt.state === "going" && <TwoGoing />}
      <Held record={hunt}>
        <Course hunt={hunt} save={save} />
        {!hunt.source && <AskSource onPick={(source) => void save({ source })} />}
        <AccountCard record={record} />
        {(hunt.source === "rolls" || hunt.progress.length > 0) && (
          <Rolls hunt={hunt} save={save} editing={editing.value} />
        )}
        <FindsOf record={record} />
        {!hunt.deleted && <EditButton editing={editing} fields="hunt-fields" />}
        {editing.value && (
          <div class="find-fields" id="hunt-fields" data-part="fields">
            <SourceForm hunt={hunt} save={save} />
            <Counted hunt={hunt} />
            <History history={read.value.history} names={names} write={write} />
            <button
              type="button"
              class="button danger"
              data-do="delete"
              onClick={() => void write("deleted", { deleted: true })}
            >
              {text.hunts.delete}
            </button>
          </div>
        )}
      </Held>
    </article>
  );
}

/** Begin, pause, go on, end: large, since the other hand holds coins. */
function Course({ hunt, save }: { hunt: Hunt; save: Save }) {
  const records = useRecords();
  const { record } = hunt;
  const paused = hunt.state === "paused";
  return (
    <div class="hunt-course">
      {hunt.state === "planned" && (
        <button type="button" class="button main" data-do="begin" onClick={() => save({ begun: Date.now() })}>
          {text.hunts.begin}
        </button>
      )}
      {(hunt.state === "going" || paused) && (
        <>
          <button
            type="button"
            class="button main"
            data-do="pause"
            onClick={() => void records.pause(record, !paused)}
          >
            {paused ? text.hunts.goOn : text.hunts.pause}
          </button>
          <button type="button" class="button" data-do="end" onClick={() => save({ ended: endingNow(hunt) })}>
            {text.hunts.end}
          </button>
        </>
      )}
      {hunt.state === "ended" && (
        <button type="button" class="button" data-do="reopen" onClick={() => save({ ended: null })}>
          {text.hunts.reopen}
        </button>
      )}
    </div>
  );
}

/** The coins counted by weighing; a tap takes one of them back, and the bar at the foot takes that back. */
function Counted({ hunt }: { hunt: Hunt }) {
  const records = useRecords();
  const calls = Object.entries(hunt.counted).filter(([, n]) => n > 0);
  return (
    <section class="card" aria-label={text.hunts.counted} data-part="counted">
      <h3>{text.hunts.counted}</h3>
      {calls.length === 0 && <p class="quiet small">{text.hunts.countedNone}</p>}
      <dl class="account figures">
        {calls.map(([call, n]) => (
          <div key={call} data-call={call}>
            <dt>{wordFor(text.hunts.calls, call)}</dt>
            <dd class="counted-coins">
              {n}
              <button
                type="button"
                class="button"
                data-do="one-less"
                aria-label={text.hunts.oneLessOf(wordFor(text.hunts.calls, call))}
                onClick={() => void records.oneLess(hunt.record, call)}
              >
                {text.hunts.oneLess}
              </button>
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** One tap per roll: the next one is done. The newest come first, so that the button stays where it is. */
function Rolls({ hunt, save, editing }: { hunt: Hunt; save: Save; editing: boolean }) {
  const usual = coinsPerRoll(hunt);
  const coins = useSignal(0);
  const each = coins.value || usual;
  const last = Math.max(0, ...hunt.progress.map((r) => r.roll));
  return (
    <section class="card" aria-label={text.hunts.progress} data-part="rolls">
      <h3>{text.hunts.progress}</h3>
      {!!hunt.rolls && (
        <progress
          max={hunt.rolls}
          value={hunt.progress.filter((r) => r.done).length}
          aria-label={text.hunts.progress}
        />
      )}
      <div class="tool-form">
        {editing && (
          <TextInput
            name="coins-per-roll"
            label={text.hunts.coinsPerRoll}
            value={String(each)}
            inputMode="numeric"
            most={5}
            onSave={(v) => {
              const typed = wholeNumber(v);
              coins.value = typeof typed === "number" ? typed : 0;
              return typeof typed === "string" ? null : undefined;
            }}
          />
        )}
        <button
          type="button"
          class="button"
          data-do="next-roll"
          disabled={each <= 0}
          onClick={() => save({ [`roll/${last + 1}`]: { coins: each, done: true } })}
        >
          {text.hunts.nextRoll(last + 1, each)}
        </button>
      </div>
      <ul class="plain fits">
        {[...hunt.progress].reverse().map((r) => (
          <li key={r.roll} class="roll-row" data-roll={r.roll}>
            <span>{text.hunts.roll(r.roll)}</span>
            <span class="figures">{text.hunts.rollCoins(r.coins)}</span>
            <button
              type="button"
              class="chip-button"
              aria-pressed={r.done}
              onClick={() => save({ [`roll/${r.roll}`]: { coins: r.coins, done: !r.done } })}
            >
              {text.hunts.rollDone}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function SourceForm({ hunt, save }: { hunt: Hunt; save: Save }) {
  const app = useApp();
  const countries = app.catalogue.countries.value ?? [];
  const denominations = countries.find((c) => c.id === hunt.country)?.denominations ?? [];
  const source = huntSources.find((s) => s === hunt.source) ?? "jar";
  // Written before there is an amount, it waits for one.
  const written = useSignal("");
  const currency =
    hunt.paid?.currency ?? hunt.returned?.currency ?? (written.value || currencyOf(hunt.country));
  const wrong = useSignal("");
  /** Null for what reads two ways; it stays to be corrected. */
  const saveFace = (field: "paid" | "returned", amount: string) => {
    wrong.value = twoWays(amount);
    if (wrong.value) return null;
    const face: Face | null = amount ? { amount: plainNumber(amount), currency } : null;
    return save({ [field]: face });
  };
  return (
    <section class="card" aria-label={text.hunts.source}>
      <Chips
        name="source"
        label={text.hunts.source}
        value={hunt.source}
        options={huntSources}
        words={text.hunts.sources}
        onPick={(s) => save({ source: s })}
      />
      <div class="tool-form">
        <div class="wide">
          <TextInput
            name="place"
            label={text.hunts.places[source]}
            value={hunt.place ?? ""}
            hint={text.hunts.placeHint}
            most={80}
            onSave={(place) => save({ place: place || null })}
          />
        </div>
        <Select
          name="country"
          label={text.finds.country}
          value={hunt.country ?? ""}
          none={text.finds.unknown}
          options={countries.map((c) => ({ id: c.id, words: c.name }))}
          onPick={(country) => save({ country: country || null, denomination: null })}
        />
        <Select
          name="hunt-denomination"
          label={text.finds.denomination}
          value={hunt.denomination ?? ""}
          none={text.finds.any}
          options={denominations.map((d) => ({ id: d.id, words: d.name }))}
          onPick={(denomination) => save({ denomination: denomination || null })}
        />
        <TextInput
          name="rolls"
          label={text.hunts.rolls}
          value={hunt.rolls ? String(hunt.rolls) : ""}
          inputMode="numeric"
          onSave={(v) => save({ rolls: wholeNumber(v) })}
        />
        <TextInput
          name="coins"
          label={text.hunts.coins}
          value={hunt.coins ? String(hunt.coins) : ""}
          inputMode="numeric"
          onSave={(v) => save({ coins: wholeNumber(v) })}
        />
        <TextInput
          name="paid"
          label={text.hunts.paid}
          value={figure(hunt.paid?.amount ?? "")}
          inputMode="decimal"
          onSave={(v) => saveFace("paid", v)}
        />
        <TextInput
          name="returned"
          label={text.hunts.returned}
          value={figure(hunt.returned?.amount ?? "")}
          inputMode="decimal"
          onSave={(v) => saveFace("returned", v)}
        />
        <div class="wide" role="alert">
          {wrong.value && <p class="problem">{wrong.value}</p>}
        </div>
        <TextInput
          name="currency"
          label={text.hunts.currency}
          value={currency}
          most={3}
          onSave={(v) => {
            const set: Record<string, unknown> = {};
            written.value = v.toUpperCase();
            if (hunt.paid) set.paid = { ...hunt.paid, currency: v.toUpperCase() };
            if (hunt.returned) set.returned = { ...hunt.returned, currency: v.toUpperCase() };
            return Object.keys(set).length > 0 ? save(set) : undefined;
          }}
        />
        <TextInput
          name="searched"
          label={text.hunts.searched}
          value={hunt.ids.searched ? String(hunt.searched) : ""}
          hint={String(hunt.searched)}
          inputMode="numeric"
          onSave={(v) => save({ searched: wholeNumber(v) })}
        />
        {(["begun", "ended"] as const).map((field) => {
          const at = hunt[field];
          if (!at) return null;
          return (
            <TimeInput
              key={field}
              name={field}
              label={text.finds.fields[field]}
              value={at}
              onSave={(ms) => save({ [field]: field === "ended" ? endFrom(ms, hunt) : ms })}
            />
          );
        })}
        <div class="wide">
          <NoteInput value={hunt.note} lines={2} onSave={(note) => save({ note })} />
        </div>
      </div>
    </section>
  );
}

function AccountCard({ record }: { record: string }) {
  const read = useRead((d) => d.journal.hunts(), [record]).value;
  const account = read.is === "read" ? read.value.hunts.find((h) => h.record === record)?.account : null;
  if (!account) return null;
  return (
    <section class="card" aria-label={text.hunts.account} data-part="account">
      <h3>{text.hunts.account}</h3>
      <AccountWords account={account} />
      <p class="quiet small">{text.hunts.accountHint}</p>
    </section>
  );
}

function FindsOf({ record }: { record: string }) {
  const names = useNames();
  const read = useRead(
    (d) => d.journal.list<Find>({ kind: "find", hunt: record, limit: 200 }),
    [record],
  ).value;
  const finds = read.is === "read" ? read.value.records : [];
  return (
    <section aria-label={text.hunts.findsOf}>
      <h3>{text.hunts.findsOf}</h3>
      {read.is === "read" && finds.length === 0 && <p class="quiet small">{text.hunts.findsNone}</p>}
      <ul class="plain find-rows">
        {finds.map((f) => (
          <li key={f.record}>
            <FindRow find={f} names={names} chosen={false} />
          </li>
        ))}
      </ul>
    </section>
  );
}
