/**
 * What the journal's methods of the core take and answer, as far as the phone
 * reads it. The rules are the core's; the documentation of internal/bridge is the contract.
 */

/** An entry to be stored: its text, and what it is found by. */
export interface RawEntry {
  id: string;
  record: string;
  kind: string;
  field: string;
  raw: string;
}

export interface Written {
  record: string;
  entries: RawEntry[];
}

/** The phone that wrote something; missing where none has said it was it. */
export interface By {
  phone?: string;
  name?: string;
  /** It was this phone itself. */
  here?: boolean;
}

export interface ConflictValue {
  id: string;
  at: number;
  value: unknown;
  by?: By;
}

export interface Conflict {
  field: string;
  shown: ConflictValue;
  others: ConflictValue[];
}

/** A value that a deletion hides without its writer having seen it. */
export interface Overlooked extends ConflictValue {
  field: string;
}

/** A record about which a person has to decide. */
export interface ToDecide {
  record: string;
  kind: string;
  conflicts: Conflict[];
  overlooked?: Overlooked[];
}

interface Common {
  record: string;
  deleted: boolean;
  deletion?: ConflictValue;
  overlooked?: Overlooked[];
  note?: string;
  ids: Record<string, string[]>;
  conflicts: Conflict[];
}

export interface CoinOf {
  country: string;
  denomination: string;
  year?: number;
  mint?: string;
  issue?: string;
}

export interface WeightOf {
  value: string;
  unit: string;
  mean_g?: number;
  u_g?: number;
  resolution_g?: number;
  status?: string;
  at?: number;
  scale?: { name: string; kind: string; dialect?: string; assumed: boolean };
  calibration?: {
    at?: number;
    repeatability_g: number;
    calibration_g: number;
    drift_g?: number;
    assumed: boolean;
  };
}

/** The readings a weight came from: three lists of one length. */
export interface TraceOf {
  unit: string;
  from: number;
  after: number[];
  shown: string[];
  status: string[];
}

export const photoSides = ["obverse", "reverse", "edge", "detail"] as const;
export type PhotoSide = (typeof photoSides)[number];

export interface PhotoOf {
  sha256: string;
  type: string;
  bytes: number;
  width?: number;
  height?: number;
  side?: string;
  where?: string;
  x?: number;
  y?: number;
  taken?: number;
  from?: string;
  /** Where the lamp stood, of one of several photos taken as one: degrees counterclockwise from the right, above 0 to 360. */
  lamp?: number;
}

/** Where a coin's rim lies in a photo, in its pixels; with mm, the coin's diameter, it has a scale. */
export interface RimOf {
  x: number;
  y: number;
  a: number;
  b: number;
  /** Degrees counterclockwise. */
  turn?: number;
  mm?: number;
  by: string;
  /** Relative standard uncertainty of the half axes, where one is told. */
  u?: number;
}

/** What was measured on a photo. */
export interface MeasureOf {
  photo: string;
  /** The reverse's photo, between two sides. */
  other?: string;
  is: string;
  points: [number, number][];
  value: number;
  u: number;
  unit: string;
  /** The question of the coin book that it answers. */
  of?: string;
  at?: number;
}

export const lyingIn = ["flip", "tube", "album", "box", "envelope", "other"] as const;
export interface PlaceOf {
  in?: string;
  label?: string;
  where?: string;
}

export const certainties = ["certain", "likely", "guess"] as const;
export const fates = ["keep", "second-opinion", "trade", "spend", "bank"] as const;
export const huntSources = ["jar", "rolls", "box", "inherited", "shop"] as const;

/** What a list says of a verdict: its call, the metal that it names, and what was answered to its questions. */
export interface GistOf {
  call: string;
  metal?: string;
  seen?: string[];
}

export interface Find extends Common {
  hunt?: string;
  found?: number;
  coin?: CoinOf;
  weight?: WeightOf;
  trace?: TraceOf;
  verdict?: { call: string; headline: string } & Record<string, unknown>;
  gist?: GistOf;
  /** What was found out beside the weight, by the judge's names. */
  evidence?: Record<string, string>;
  kind?: string;
  certainty?: string;
  photos: PhotoOf[];
  /** By the photo's hash. */
  rims?: Record<string, RimOf>;
  /** By a name of its own. */
  measures?: Record<string, MeasureOf>;
  /** Photos that others of the type are held against, by side. */
  references?: Record<string, string>;
  lies?: PlaceOf;
  fate?: string;
  caution?: string;
}

/** Coins of one metal, by the name that they were counted under, and the keepers among them. */
export interface MetalCount {
  name: string;
  coins: number;
  keepers: number;
}

/** Coins that were judged since the last time, fewer than 0 for those taken back. */
export interface Counts {
  calls: Record<string, number>;
  metals: MetalCount[];
}

/** Face value in the coins' own currency; never a price. */
export interface Face {
  amount: string;
  currency: string;
}

export interface Hunt extends Common {
  source?: string;
  /** The source as the judge takes it: jar, bank-roll or inherited. */
  judge_source?: string;
  place?: string;
  country?: string;
  denomination?: string;
  rolls?: number;
  coins?: number;
  paid?: Face;
  returned?: Face;
  begun?: number;
  ended?: number;
  /** Coins weighed while it is going are counted for it. */
  state: "planned" | "going" | "paused" | "ended";
  /** Two phones wrote one of its times each, or an earlier version did. */
  ends_before_begin?: boolean;
  active_ms: number;
  progress: { roll: number; coins: number; done: boolean }[];
  counted: Record<string, number>;
  searched: number;
}

export interface Account {
  hunts: number;
  searched: number;
  active_ms: number;
  finds: number;
  kinds: Record<string, number>;
  counted: Record<string, number>;
  /** The most first; missing from an older core. */
  metals?: MetalCount[];
  paid: Face[];
  returned: Face[];
  still: Face[];
  finds_per_thousand: number;
}

export type HuntWithAccount = Hunt & { account: Account };
export interface Hunts {
  hunts: HuntWithAccount[];
  sources: SourceAccount[];
  /** The hunt that coins are counted for; empty for none. */
  counting: string;
}
export interface SourceAccount {
  source: string;
  place: string;
  account: Account;
}

export interface PastEntry {
  id: string;
  at: number;
  field: string;
  value: unknown;
  now: "shown" | "beside" | "replaced";
  by?: By;
}

export interface Detail {
  kind: string;
  find?: Find;
  hunt?: Hunt;
  history: PastEntry[];
}

export interface Listed<T> {
  total: number;
  more: boolean;
  records: T[];
}
