import type { ComponentChildren } from "preact";
import type { FindsDoor } from "../../app/finds-door";
import type { Find } from "../../core/journal";
import { fates } from "../../core/journal";
import { text } from "../../text";
import { useApp, useView } from "../../view/context";
import { put, useForm } from "../tools/form";
import type { Form } from "../tools/questions";
import { TroubleWords } from "../weigh/trouble-words";
import { RecordsHead } from "./head";
import { useScrolledBack, useUnfolding } from "./list-place";
import { FindRow } from "./row";
import { arrange, type Sort, sorts } from "./search";
import { StoringPanel, SyncPanel } from "./sync-panel";
import { ToDecideHere } from "./to-decide";
import { useDoor, useNames, useRead } from "./use";
import { WantedPanel } from "./wanted-panel";
import { denominationName } from "./words";

/** Finds listed at first, and with each “more”. */
const firstFinds = 60;
const mostAtOnce = 500;

/** All finds: searched, filtered and sorted. */
export function FindsList({ chosen }: { chosen: string }) {
  const form = useForm("finds", {});
  const { shown, more } = useUnfolding(firstFinds);
  const names = useNames();
  const f = form.value;
  const deleted = f.deleted === "yes";
  const plain = !f.search && (f.sort ?? "newest") === "newest";
  // Without a search the core's own order is enough, and only what is shown is read.
  const limit = plain ? shown : 0;
  // Typing on in the search arranges what was read and reads nothing anew.
  const found = useRead(
    (door) => readFinds(door, f, limit),
    [f.hunt, f.kind, f.fate, f.denomination, f.deleted, limit],
  );
  const r = found.value;
  useScrolledBack(r.is === "read");
  const all = r.is === "read" ? arrange(r.value.records, f.search ?? "", sortOf(f), names) : [];
  const total = plain && r.is === "read" ? r.value.total : all.length;
  const none = r.is === "read" && total === 0;
  const bare = !f.search && !f.kind && !f.fate && !f.denomination && !f.hunt && !deleted;
  return (
    <>
      <RecordsHead at="finds" />
      <SyncPanel />
      <WantedPanel />
      <AsideCoins />
      <ToDecideHere kind="find" />
      {!(none && bare) && <Choices form={form} finds={r.is === "read" ? r.value.records : []} />}
      {r.is === "reading" && <p class="quiet">{text.finds.loading}</p>}
      {r.is === "failed" && <TroubleWords trouble={r.trouble} />}
      {none && bare && (
        <div class="records-empty" data-part="empty">
          <p>{text.finds.empty}</p>
          <p class="quiet">{text.finds.emptyHint}</p>
        </div>
      )}
      {none && !bare && <p class="quiet">{text.finds.nothing}</p>}
      {total > 0 && (
        <p class="quiet" role="status" data-part="total" data-n={total}>
          {text.finds.total(total)}
        </p>
      )}
      <ul class="plain find-rows">
        {all.slice(0, shown).map((find) => (
          <li key={find.record}>
            <FindRow find={find} names={names} chosen={find.record === chosen} />
          </li>
        ))}
      </ul>
      {total > shown && (
        <button type="button" class="button wide" onClick={more}>
          {text.finds.more}
        </button>
      )}
      <StoringPanel />
    </>
  );
}

/** Coins that were set aside hands-free become finds here, each with what its weight said. */
function AsideCoins() {
  const { hands } = useApp();
  const door = useDoor();
  const done = door.asideKept.value;
  const coins = hands.list.aside.value.filter((a) => !done.includes(a.id));
  if (coins.length === 0) return null;
  return (
    <div class="sync-panel" data-waiting data-part="aside-coins">
      <p class="sync-words">{text.finds.aside(coins.length)}</p>
      <button
        type="button"
        class="button"
        data-do="keep-aside"
        disabled={door.keeping.value}
        onClick={() => void door.keepAside(coins)}
      >
        {text.finds.asideKeep(coins.length)}
      </button>
    </div>
  );
}

const sortOf = (f: Form): Sort => sorts.find((s) => s === f.sort) ?? "newest";

/** Reads finds page by page; limit 0 for all. */
async function readFinds(door: FindsDoor, f: Form, limit: number) {
  const wanted = {
    kind: "find" as const,
    hunt: f.hunt ?? "",
    find_kind: f.kind ?? "",
    fate: f.fate ?? "",
    denomination: f.denomination ?? "",
    deleted: f.deleted === "yes",
  };
  const records: Find[] = [];
  for (;;) {
    const want = limit > 0 ? Math.min(mostAtOnce, limit - records.length) : mostAtOnce;
    const page = await door.journal.list<Find>({
      ...wanted,
      after: records.at(-1)?.record ?? "",
      limit: want,
    });
    records.push(...page.records);
    if (!page.more || (limit > 0 && records.length >= limit)) return { total: page.total, records };
  }
}

function Choices({ form, finds }: { form: ReturnType<typeof useForm>; finds: Find[] }) {
  const names = useNames();
  const view = useView();
  const f = form.value;
  const denominations = [...new Set(finds.flatMap((x) => (x.coin ? [x.coin.denomination] : [])))];
  const kinds = [...new Set(finds.flatMap((x) => (x.kind ? [x.kind] : [])))];
  // What is chosen stays to be chosen, even if nothing fits it.
  if (f.denomination && !denominations.includes(f.denomination)) denominations.push(f.denomination);
  if (f.kind && !kinds.includes(f.kind)) kinds.push(f.kind);
  const country = finds.find((x) => x.coin)?.coin?.country ?? view.book.country.value;
  return (
    <form class="tool-form" role="search" onSubmit={(e) => e.preventDefault()}>
      <label class="field wide">
        <span>{text.finds.search}</span>
        <input
          type="search"
          name="search"
          autocomplete="off"
          enterKeyHint="search"
          placeholder={text.finds.searchHint}
          value={f.search ?? ""}
          onInput={(e) => put(form, { search: e.currentTarget.value })}
        />
      </label>
      <details class="wide more-panel">
        <summary>{text.finds.filter}</summary>
        <div class="tool-form">
          <Select form={form} name="sort" label={text.finds.sort} none="" first="newest">
            {sorts.map((s) => (
              <option key={s} value={s}>
                {text.finds.sorts[s]}
              </option>
            ))}
          </Select>
          <Select form={form} name="denomination" label={text.finds.denomination} none={text.finds.any}>
            {denominations.map((d) => (
              <option key={d} value={d}>
                {denominationName(names.countries, country, d)}
              </option>
            ))}
          </Select>
          <Select form={form} name="kind" label={text.finds.kind} none={text.finds.any}>
            {kinds.map((k) => (
              <option key={k} value={k}>
                {names.key?.kinds.get(k)?.name ?? k}
              </option>
            ))}
          </Select>
          <Select form={form} name="fate" label={text.finds.fate} none={text.finds.any}>
            {fates.map((x) => (
              <option key={x} value={x}>
                {text.finds.fates[x]}
              </option>
            ))}
          </Select>
          <label class="check">
            <input
              type="checkbox"
              name="deleted"
              checked={f.deleted === "yes"}
              onChange={(e) => put(form, { deleted: e.currentTarget.checked ? "yes" : "" })}
            />
            <span>{text.finds.showDeleted}</span>
          </label>
        </div>
      </details>
    </form>
  );
}

function Select(props: {
  form: ReturnType<typeof useForm>;
  name: string;
  label: string;
  none: string;
  /** What holds when nothing was chosen. */
  first?: string;
  children: ComponentChildren;
}) {
  return (
    <label class="field">
      <span>{props.label}</span>
      <select
        name={props.name}
        value={props.form.value[props.name] ?? props.first ?? ""}
        onChange={(e) => put(props.form, { [props.name]: e.currentTarget.value })}
      >
        {props.none && <option value="">{props.none}</option>}
        {props.children}
      </select>
    </label>
  );
}
