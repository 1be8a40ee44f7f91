import { gistOf } from "../../core/gist";
import type { IdentificationKey } from "../../core/identification";
import type { CoinOf, Face, Find, PastEntry } from "../../core/journal";
import { isFields, oneOf } from "../../core/json";
import { lowestOf } from "../../core/ring";
import { type Call, type Country, calls } from "../../core/types";
import { text } from "../../text";
import { figure, locale } from "../../text/writing";
import { measuredWords, ruledWords } from "../bench/ruler-words";

/** Finds and hunts in words. */

export function denominationName(countries: Country[] | null, country: string, id: string): string {
  const d = countries?.find((c) => c.id === country)?.denominations.find((x) => x.id === id);
  return d?.name ?? id;
}

/** “1969-S cent”, as far as it is known. */
export function coinWords(coin: CoinOf | undefined, countries: Country[] | null): string {
  if (!coin) return text.finds.unnamed;
  const name = denominationName(countries, coin.country, coin.denomination);
  return [dateWords(coin), name].filter(Boolean).join(" ");
}

/** “1969-S”, “1969”, “S”; nothing where neither year nor mark is known. */
function dateWords({ year, mint }: CoinOf): string {
  return [year || "", mint && mint !== "-" ? mint : ""].filter(Boolean).join("-");
}

/**
 * What a find is in one line, from its date, the metal that was claimed and what
 * was answered: “1982-D, bronze · Small date”; and which denomination that is,
 * where the line has a date in its place.
 */
export function titleWords(find: Find, countries: Country[] | null): { title: string; coin: string } {
  const { coin } = find;
  const gist = find.gist ?? gistOf(find.verdict);
  const date = coin?.year ? dateWords(coin) : "";
  const name =
    coin && date ? denominationName(countries, coin.country, coin.denomination) : coinWords(coin, countries);
  const what = [date || name, gist?.metal].filter(Boolean).join(", ");
  return { title: [what, ...(gist?.seen ?? [])].join(" · "), coin: date ? name : "" };
}

/** The call of what was claimed then, where this version knows it. */
export const callOf = (find: Find): Call | undefined =>
  oneOf(calls, (find.gist ?? gistOf(find.verdict))?.call);

export function weightWords(f: Pick<Find, "weight">): string {
  return f.weight ? `${figure(f.weight.value)}\u00a0${f.weight.unit}` : "";
}

const toTheMinute = { dateStyle: "medium", timeStyle: "short" } as const;

/** Day and time as the language writes them here. */
export function whenWords(ms: number | undefined): string {
  if (!ms) return "";
  return new Date(ms).toLocaleString(locale.value, toTheMinute);
}

export function dayWords(ms: number | undefined): string {
  return ms ? new Date(ms).toLocaleDateString(locale.value, { dateStyle: "medium" }) : "";
}

/** From when to when; from when alone while it goes on. */
export function spanWords(from: number | undefined, to: number | undefined): string {
  if (!from || !to || to < from) return whenWords(from);
  return new Intl.DateTimeFormat(locale.value, toTheMinute).formatRange(from, to);
}

export const kindName = (key: IdentificationKey | null, id: string | undefined): string =>
  id ? (key?.kinds.get(id)?.name ?? id) : "";

/** The word for one of the core's; the core's own where there is none. */
export function wordFor(words: Record<string, string>, id: string | undefined): string {
  return id ? (words[id] ?? id) : "";
}

export function faceWords(f: Face | undefined): string {
  return f ? text.hunts.sum(f.amount, f.currency) : "";
}

/** A field's name without what follows its “/”: “photo/1f…” is “Photo”. */
export function fieldWords(field: string): string {
  const [family = field, own = ""] = field.split("/");
  const name = wordFor(text.finds.fields, family);
  return family === "roll" ? `${name} ${own}` : name;
}

/** A value of the history or of a conflict, short. */
export function valueWords(field: string, value: unknown, names: Names): string {
  if (value === null || value === undefined) return text.finds.takenAway;
  const [family = field] = field.split("/");
  const v = isFields(value) ? value : {};
  switch (family) {
    case "coin":
      return coinWords(value as CoinOf, names.countries);
    case "weight":
      return weightWords({ weight: value as NonNullable<Find["weight"]> });
    case "verdict":
      return String(v.headline ?? "");
    case "gist":
      return [v.metal, ...(Array.isArray(v.seen) ? v.seen : [])].filter(Boolean).join(", ");
    case "evidence":
      return Object.entries(v)
        .map(([f, a]) => (f === "ring" ? text.ring.told(lowestOf(String(a))) : ruledWords(String(a)) || a))
        .join(", ");
    case "reference":
      return text.finds.photoPlain;
    case "photo":
      return wordFor(text.finds.sides, String(v.side ?? "")) || text.finds.photoPlain;
    case "rim":
      return v.by === "hand" ? text.bench.rim.byHand : text.finds.fields.rim;
    case "measure":
      return measuredWords(v);
    case "lies":
      return [wordFor(text.finds.lyings, v.in as string | undefined), v.label, v.where]
        .filter(Boolean)
        .join(", ");
    case "paid":
    case "returned":
      return faceWords(value as Face);
    case "roll":
      return `${text.hunts.rollCoins(Number(v.coins ?? 0))}${v.done ? `, ${text.hunts.rollDone}` : ""}`;
    case "found":
    case "begun":
    case "ended":
    case "pause":
      return value === 0 ? text.hunts.states.paused : whenWords(Number(value));
    case "fate":
      return wordFor(text.finds.fates, String(value));
    case "certainty":
      return wordFor(text.finds.certainties, String(value));
    case "source":
      return wordFor(text.hunts.sources, String(value));
    case "kind":
      return kindName(names.key, String(value));
    case "trace":
      return String((v.shown as unknown[] | undefined)?.length ?? "");
    case "hunt":
      return names.hunt?.(String(value)) ?? String(value);
    case "deleted":
      return value === true ? text.finds.tagDeleted : text.finds.acts.restored;
    default:
      return typeof value === "string" || typeof value === "number" ? String(value) : JSON.stringify(value);
  }
}

export interface Names {
  countries: Country[] | null;
  key: IdentificationKey | null;
  hunt?(record: string): string;
}

/** Newest first, without the entries that make a record what it was at its birth. */
export const newestFirst = (history: PastEntry[]): PastEntry[] => [...history].reverse();

/** A moment as inputs for a time of day take it: local, to the minute. */
export function localMinute(ms: number): string {
  const local = new Date(ms - new Date(ms).getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 16);
}
