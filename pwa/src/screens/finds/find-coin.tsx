import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { type CoinList, readCoins } from "../../core/coins";
import type { CoinOf, Find } from "../../core/journal";
import { marksFor } from "../../core/marks";
import { readSheet } from "../../core/read";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { Select } from "../form/controls";
import { TextInput } from "../form/saving";
import { yearsWords } from "../tools/coin-words";
import { useAsking } from "../tools/use-asking";
import { type KindChoice, kindChoices } from "./kind-choices";
import type { Save } from "./save";
import { useNames } from "./use";

/** Which coin a find is, as far as it can be said. */
export function CoinForm({ find, save }: { find: Find; save: Save }) {
  const app = useApp();
  const countries = app.catalogue.countries.value ?? [];
  const coin: Partial<CoinOf> = find.coin ?? {};
  const country = coin.country ?? app.prefs.country.value;
  const denominations = countries.find((c) => c.id === country)?.denominations ?? [];
  const denomination = denominations.find((d) => d.id === coin.denomination);
  const marks = denomination ? marksFor(denomination, coin.year ?? 0) : [];
  if (coin.mint && !marks.includes(coin.mint)) marks.push(coin.mint);
  const set = (change: Partial<CoinOf>) => {
    const next = { country, ...coin, ...change };
    // Another denomination or year is another coin: what was said of the issue belongs to the old one.
    if (change.denomination !== undefined || change.country !== undefined) delete next.mint;
    if (change.issue === undefined) delete next.issue;
    if (!next.issue) delete next.issue;
    if (!next.year) delete next.year;
    if (!next.mint) delete next.mint;
    return save({ coin: next.denomination ? next : null });
  };
  return (
    <section class="card" aria-label={text.finds.coin}>
      <h3>{text.finds.coin}</h3>
      <div class="tool-form">
        <Select
          name="country"
          label={text.finds.country}
          value={country}
          none={null}
          options={countries.map((c) => ({ id: c.id, words: c.name }))}
          onPick={(id) => set({ country: id, denomination: "" })}
        />
        <Select
          name="denomination"
          label={text.finds.denomination}
          value={coin.denomination ?? ""}
          none={text.finds.unknown}
          options={denominations.map((d) => ({ id: d.id, words: d.name }))}
          onPick={(id) => set({ denomination: id })}
        />
        <TextInput
          name="find-year"
          label={text.finds.year}
          value={coin.year ? String(coin.year) : ""}
          inputMode="numeric"
          most={4}
          hint={text.finds.unknown}
          onSave={(y) => set({ year: typedYear(y) })}
        />
        <Select
          name="find-mint"
          label={text.finds.mint}
          value={coin.mint ?? ""}
          none={text.finds.unknown}
          options={marks.map((m) => ({ id: m, words: m === "-" ? text.finds.noMint : m }))}
          onPick={(mint) => set({ mint })}
        />
      </div>
      {coin.denomination && <IssueInput coin={coin} onSave={(issue) => set({ issue })} />}
    </section>
  );
}

/** 0 for none; what isn't a year is left to the core to refuse. */
const typedYear = (y: string): number => (/^\d*$/.test(y) ? Number(y) : -1);

/** Which of the book's issues it is, of those that were struck in its year. */
function IssueInput({ coin, onSave }: { coin: Partial<CoinOf>; onSave: (issue: string) => void }) {
  const asking = useAsking<CoinList>("coins", readCoins);
  const { country = "", denomination = "", year = 0 } = coin;
  useEffect(() => {
    void asking.ask({ text: "", country, denomination });
  }, [asking, country, denomination]);
  const answer = asking.view.value;
  const all = answer.is === "answer" ? answer.value.coins : [];
  const fit = all.filter((c) => !year || c.spans.some((s) => s.first <= year && year <= s.last));
  if (fit.length === 0 && !coin.issue) return null;
  return (
    <>
      <Select
        name="issue"
        label={text.finds.issue}
        value={coin.issue ?? ""}
        none={text.finds.unknown}
        wide
        options={fit.map((c) => ({ id: c.id, words: [c.name, yearsWords(c)].filter(Boolean).join(", ") }))}
        onPick={onSave}
      />
      {coin.issue && (
        <p>
          <a href={addressOf("book", coin.issue)}>{text.finds.bookPage}</a>
        </p>
      )}
    </>
  );
}

/** The kinds to look for on this coin come first, then all others that there are. */
export function KindInput({ find, save }: { find: Find; save: Save }) {
  const app = useApp();
  const names = useNames();
  const looked = useSignal<KindChoice[]>([]);
  const c = find.coin;
  useEffect(() => {
    let gone = false;
    if (!c) return;
    const question = {
      country: c.country,
      denomination: c.denomination,
      year: c.year ?? 0,
      mint: c.mint ?? "",
      hint: "",
    };
    void app.core.call("look", question).then((answer) => {
      if (gone || !("ok" in answer)) return;
      const seen = new Set<string>();
      looked.value = readSheet(answer.ok).look.flatMap((l) => {
        if (seen.has(l.kind)) return [];
        seen.add(l.kind);
        return [{ id: l.kind, words: l.name }];
      });
    });
    return () => {
      gone = true;
    };
  }, [app, c?.country, c?.denomination, c?.year, c?.mint, looked]);
  return (
    <Select
      name="kind"
      label={text.finds.kind}
      value={find.kind ?? ""}
      none={text.finds.unknown}
      wide
      options={kindChoices(looked.value, [...(names.key?.kinds.values() ?? [])], find.kind)}
      onPick={(kind) => save({ kind: kind || null })}
    />
  );
}
