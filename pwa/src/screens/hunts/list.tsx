import { useSignal } from "@preact/signals";
import type { Account, HuntWithAccount, MetalCount, SourceAccount } from "../../core/journal";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { RecordsHead } from "../finds/head";
import { huntName } from "../finds/hunt-name";
import { SyncPanel } from "../finds/sync-panel";
import { ToDecideHere } from "../finds/to-decide";
import { useRead, useRecords } from "../finds/use";
import { dayWords, denominationName, faceWords, wordFor } from "../finds/words";
import { Check } from "../form/controls";
import { TroubleWords } from "../weigh/trouble-words";
import { AskSource } from "./ask-source";
import { TwoGoing } from "./two-going";

/** All hunts, and what each source has given so far. */
export function HuntsList({ chosen }: { chosen: string }) {
  const app = useApp();
  const records = useRecords();
  const read = useRead((d) => d.journal.hunts(), []).value;
  const deleted = useSignal(false);
  const all = read.is === "read" ? read.value.hunts : [];
  const hunts = all.filter((h) => h.deleted === deleted.value);
  const anyDeleted = all.some((h) => h.deleted);
  const asking = useSignal(false);
  const start = async (source: string) => {
    const { country, denomination } = app.prefs;
    const set: Record<string, unknown> = { source, begun: Date.now(), country: country.value };
    if (denomination.value) set.denomination = denomination.value;
    const written = await records.acts.write("hunt", { kind: "hunt", record: "", set });
    if (!written) return;
    asking.value = false;
    location.hash = `#/hunts/${written.record}`;
  };
  return (
    <>
      <RecordsHead at="hunts" />
      <SyncPanel />
      <ToDecideHere kind="hunt" />
      <TwoGoing />
      {read.is === "reading" && <p class="quiet">{text.finds.loading}</p>}
      {read.is === "failed" && <TroubleWords trouble={read.trouble} />}
      {read.is === "read" && hunts.length === 0 && !deleted.value && (
        <div class="records-empty" data-part="empty">
          <p>{text.hunts.empty}</p>
          <p class="quiet">{text.hunts.emptyHint}</p>
        </div>
      )}
      {asking.value ? (
        <AskSource
          onPick={(source) => void start(source)}
          onClose={() => {
            asking.value = false;
          }}
        />
      ) : (
        <button
          type="button"
          class="button main wide"
          data-do="new-hunt"
          onClick={() => {
            asking.value = true;
          }}
        >
          {text.hunts.start}
        </button>
      )}
      <ul class="plain find-rows">
        {hunts.map((h) => (
          <li key={h.record}>
            <HuntRow hunt={h} chosen={h.record === chosen} />
          </li>
        ))}
      </ul>
      {anyDeleted && (
        <Check
          name="deleted"
          label={text.finds.showDeleted}
          on={deleted.value}
          onPick={(on) => {
            deleted.value = on;
          }}
        />
      )}
      {read.is === "read" && read.value.sources.length > 1 && <Sources list={read.value.sources} />}
    </>
  );
}

function HuntRow({ hunt, chosen }: { hunt: HuntWithAccount; chosen: boolean }) {
  const app = useApp();
  const records = useRecords();
  const coin = hunt.denomination
    ? denominationName(app.catalogue.countries.value, hunt.country ?? "", hunt.denomination)
    : "";
  return (
    <a
      class="find-row"
      href={`#/hunts/${hunt.record}`}
      data-hunt={hunt.record}
      aria-current={chosen ? "true" : undefined}
    >
      <span class="find-row-words">
        <span class="find-row-name">{huntName(hunt)}</span>
        <span class="quiet">
          {[hunt.place ? wordFor(text.hunts.sources, hunt.source) : "", coin, dayWords(hunt.begun)]
            .filter(Boolean)
            .join(" · ")}
        </span>
        <span class="quiet figures">
          {text.hunts.searchedRow(hunt.searched, hunt.account.finds, hunt.account.counted.keeper ?? 0)}
        </span>
      </span>
      <span class="find-row-tags">
        <span class={hunt.state === "going" ? "tag going" : "tag"}>{text.hunts.states[hunt.state]}</span>
        {hunt.conflicts.length > 0 && <span class="tag warn">{text.finds.tagConflict}</span>}
        {records.journal.unsentRecords.value.has(hunt.record) && (
          <span class="tag">{text.finds.tagOnlyHere}</span>
        )}
      </span>
    </a>
  );
}

function Sources({ list }: { list: SourceAccount[] }) {
  return (
    <section class="card" aria-label={text.hunts.bySource}>
      <h2>{text.hunts.bySource}</h2>
      <ul class="plain fits">
        {list.map((s) => (
          <li key={`${s.source}/${s.place}`}>
            <strong>{s.place || wordFor(text.hunts.sources, s.source) || text.finds.unknown}</strong>
            <AccountWords account={s.account} />
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Face value and coins, never a price. */
export function AccountWords({ account: a }: { account: Account }) {
  const minutes = Math.round(a.active_ms / 60_000);
  const rows: [string, string][] = [
    [text.hunts.searchedTotal, String(a.searched)],
    [text.hunts.keepersTotal, a.counted.keeper ? String(a.counted.keeper) : ""],
    [text.hunts.lookTotal, a.counted.look ? String(a.counted.look) : ""],
    [text.hunts.findsTotal, String(a.finds)],
    [text.hunts.perThousand, a.searched > 0 ? String(Number(a.finds_per_thousand.toPrecision(2))) : ""],
    [text.hunts.time, minutes > 0 ? text.hunts.minutes(minutes) : ""],
    [text.hunts.paid, a.paid.map(faceWords).join(", ")],
    [text.hunts.returned, a.returned.map(faceWords).join(", ")],
    [text.hunts.still, a.still.map(faceWords).join(", ")],
  ];
  return (
    <>
      <dl class="account figures">
        {rows
          .filter(([, value]) => value)
          .map(([label, value]) => (
            <div key={label}>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
      </dl>
      <Metals of={a.metals ?? []} />
    </>
  );
}

/** How much silver tonight: what was counted by metal, with the keepers among it. */
function Metals({ of }: { of: readonly MetalCount[] }) {
  if (of.length === 0) return null;
  const most = Math.max(...of.map((m) => m.coins), 1);
  return (
    <ul class="plain metals" aria-label={text.hunts.metals} data-part="metals">
      {of.map((m) => (
        <li key={m.name} class="count-row" data-metal={m.name} data-coins={m.coins}>
          <span class="count-label">
            {m.name}
            {m.keepers > 0 && (
              <span class="tag keeper" data-call="keeper">
                {m.keepers === m.coins ? text.hunts.allKeepers : text.hunts.keepersOf(m.keepers)}
              </span>
            )}
            <span class="count-bar" style={{ inlineSize: `${(100 * m.coins) / most}%` }} />
          </span>
          <span class="figures count-number">{m.coins}</span>
        </li>
      ))}
    </ul>
  );
}
