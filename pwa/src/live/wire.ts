import { type Fields, isCount, isFields, isNumber, strings } from "../core/json";

/**
 * The live stream's messages as the server sends them, and the one place where
 * they are checked. What fails the check is not shown: no number is better
 * than a wrong one. testdata/wire holds an example of each.
 */

declare const brand: unique symbol;
type Branded<T, Name extends string> = T & { readonly [brand]: Name };

/** A mass in grams. */
export type Grams = Branded<number, "Grams">;
/** The stream's running number; it rises, and gaps are normal (newest only). */
export type Seq = Branded<number, "Seq">;
/** Counts loads on the pan, so that one coin is judged and announced once. */
export type Placement = Branded<number, "Placement">;

export const grams = (value: number): Grams => value as Grams;

export const phases = ["none", "empty", "moving", "settled", "over", "under", "withheld"] as const;
export type Phase = (typeof phases)[number];

export interface Problem {
  code: string;
  sentence: string;
}

/** What only the person can say before there is a weight, by looking at the scale's display. */
export interface UnitAsk {
  /** unit: of lines that carry none; gr: gram or grain. */
  of: "unit" | "gr";
  /** The newest number as the scale sent it; no weight. */
  digits: string;
  /** Answers worth a button, the likeliest first. */
  units: string[];
}

export interface ScaleInfo {
  name: string;
  kind: string;
  format: string | null;
  /** The scale's errors were assumed, not measured with check weights. */
  assumed: boolean;
  /** When it was checked with check weights, RFC 3339; left out if never. */
  checked?: string;
}

export interface WeightMessage {
  type: "weight";
  v: 1;
  seq: Seq;
  phase: Phase;
  placement: Placement;
  mean_g: Grams | null;
  u_g: Grams | null;
  resolution_g: Grams | null;
  /** The scale's own digits, never re-rounded. */
  shown: string | null;
  unit: string | null;
  status: string;
  age_ms: number;
  scale: ScaleInfo | null;
  problem: Problem | null;
  /** The chance that mean_g isn’t the whole load but one half put down, or leant on; left out if there is none. */
  half?: number;
  /** The standard uncertainty of mean_g if it is the whole load; u_g makes allowance for half. */
  u_whole_g?: Grams;
  ask?: UnitAsk;
  /** A phone's camera read it, and nobody has confirmed it: it has no mean until then. */
  unconfirmed?: true;
}

export interface ByeMessage {
  type: "bye";
  code: string;
  sentence: string;
}

/** The journal on the laptop has grown to this cursor, or there is news of photos. */
export interface NoticeMessage {
  type: "notice";
  v: 1;
  /** Empty while the laptop has no entries. */
  cursor: string;
  /** Another number means news; left out before the first. */
  photos?: number;
}

/** How the laptop’s records are: what they lack of what it confirmed, and of copies; each empty if all is well. */
export interface RecordsMessage {
  type: "records";
  v: 1;
  sentence: string;
  copies: string;
}

/** For what a coin is judged, as the holder of the pan asks it. */
export interface Asks {
  country: string;
  denomination: string;
  year: number;
  mint: string;
  /** What was found out beside the weight, by the core's names for it. */
  evidence?: Record<string, string>;
}

/** Who holds the pan, and what they ask; null for nobody, and for not known. */
export interface PanMessage {
  type: "pan";
  v: 1;
  holder: { id: string; name: string; role: string } | null;
  asks: Asks | null;
}

export type ServerMessage = WeightMessage | NoticeMessage | PanMessage | RecordsMessage | ByeMessage;

const numberOrNull = (x: unknown): x is number | null => x === null || isNumber(x);
const textOrNull = (x: unknown): x is string | null => x === null || typeof x === "string";
const isPhase = (x: unknown): x is Phase => phases.some((p) => p === x);

/** Reads one frame; null for anything that isn't a message of this version. */
export function parseServerMessage(frame: unknown): ServerMessage | null {
  if (typeof frame !== "string") return null;
  let m: unknown;
  try {
    m = JSON.parse(frame);
  } catch {
    return null;
  }
  if (!isFields(m)) return null;
  if (m.type === "bye") return parseBye(m);
  if (m.v !== 1) return null;
  if (m.type === "weight") return parseWeight(m);
  if (m.type === "notice") return parseNotice(m);
  if (m.type === "pan") return parsePan(m);
  if (m.type === "records") return parseRecords(m);
  return null;
}

function parseBye(m: Fields): ByeMessage | null {
  if (typeof m.code !== "string" || typeof m.sentence !== "string") return null;
  return { type: "bye", code: m.code, sentence: m.sentence };
}

function parseNotice(m: Fields): NoticeMessage | null {
  if (typeof m.cursor !== "string") return null;
  const news = isCount(m.photos) ? { photos: m.photos } : {};
  return { type: "notice", v: 1, cursor: m.cursor, ...news };
}

function parseRecords(m: Fields): RecordsMessage | null {
  const { sentence, copies } = m;
  if (typeof sentence !== "string" || typeof copies !== "string") return null;
  return { type: "records", v: 1, sentence, copies };
}

function parsePan(m: Fields): PanMessage | null {
  const h = m.holder;
  if (h === null) return { type: "pan", v: 1, holder: null, asks: parseAsks(m.asks) };
  if (!isFields(h) || typeof h.id !== "string" || typeof h.name !== "string" || typeof h.role !== "string") {
    return null;
  }
  return { type: "pan", v: 1, holder: { id: h.id, name: h.name, role: h.role }, asks: parseAsks(m.asks) };
}

/** null also for a question that a newer phone asks in a way unknown here: then this phone's own stands. */
function parseAsks(x: unknown): Asks | null {
  if (!isFields(x)) return null;
  const { country, denomination, year, mint } = x;
  if (typeof country !== "string" || typeof denomination !== "string" || !denomination) return null;
  if (!isCount(year) || year > 9999 || typeof mint !== "string") return null;
  const evidence = Object.fromEntries(
    Object.entries(isFields(x.evidence) ? x.evidence : {}).filter(
      (e): e is [string, string] => typeof e[1] === "string",
    ),
  );
  return {
    country,
    denomination,
    year,
    mint,
    ...(Object.keys(evidence).length > 0 ? { evidence } : {}),
  };
}

function parseWeight(m: Fields): WeightMessage | null {
  const scale = parseScale(m.scale);
  const problem = parseProblem(m.problem);
  if (scale === undefined || problem === undefined) return null;
  if (!isCount(m.seq) || !isCount(m.placement) || !isPhase(m.phase)) return null;
  if (!numberOrNull(m.mean_g) || !numberOrNull(m.u_g) || !numberOrNull(m.resolution_g)) return null;
  if (!textOrNull(m.shown) || !textOrNull(m.unit)) return null;
  if (typeof m.status !== "string" || !isNumber(m.age_ms) || m.age_ms < 0) return null;
  return {
    type: "weight",
    v: 1,
    seq: m.seq as Seq,
    phase: m.phase,
    placement: m.placement as Placement,
    mean_g: m.mean_g as Grams | null,
    u_g: m.u_g as Grams | null,
    resolution_g: m.resolution_g as Grams | null,
    shown: m.shown,
    unit: m.unit,
    status: m.status,
    age_ms: m.age_ms,
    scale,
    problem,
    ...halfIn(m),
    ...(problem ? askIn(m.ask) : {}),
    ...(m.unconfirmed === true ? { unconfirmed: true } : {}),
  };
}

/** Half without what goes with it is left out: u_g alone makes allowance for it. */
function halfIn(m: Fields): Pick<WeightMessage, "half" | "u_whole_g"> {
  const { half, u_whole_g } = m;
  return isNumber(half) && isNumber(u_whole_g) ? { half, u_whole_g: u_whole_g as Grams } : {};
}

/** A question that a newer laptop asks in a way unknown here is left to the problem's sentence. */
export function askIn(x: unknown): { ask?: UnitAsk } {
  if (!isFields(x) || (x.of !== "unit" && x.of !== "gr") || typeof x.digits !== "string") return {};
  const units = strings(x.units);
  return units.length > 0 ? { ask: { of: x.of, digits: x.digits, units } } : {};
}

/** undefined means unusable; null means there is none. */
function parseScale(x: unknown): ScaleInfo | null | undefined {
  if (x === null || x === undefined) return null;
  if (!isFields(x) || typeof x.name !== "string" || typeof x.kind !== "string") return undefined;
  return {
    name: x.name,
    kind: x.kind,
    format: typeof x.format === "string" ? x.format : null,
    assumed: x.assumed !== false,
    ...(typeof x.checked === "string" ? { checked: x.checked } : {}),
  };
}

function parseProblem(x: unknown): Problem | null | undefined {
  if (x === null || x === undefined) return null;
  if (!isFields(x) || typeof x.code !== "string" || typeof x.sentence !== "string") return undefined;
  return { code: x.code, sentence: x.sentence };
}
