import { fields, list, number, words } from "./json";
import { readFractions } from "./read";
import type { YearSpan } from "./types";

/** The coin book's issues as the core's method “coins” gives them. */

/** A figure with where it comes from and how sure that is. */
export interface Figure {
  text: string;
  value: number;
  source: string;
  grade: string;
}

export interface Metal {
  name: string;
  fractions: Record<string, number>;
  note: string;
  source: string;
  grade: string;
}

export interface Layer {
  part: string;
  metal: Metal;
  share: number | null;
}

export interface Limit extends Figure {
  scope: string; // piece | batch
  batch: string;
}

/** Where something comes from and how sure that is. */
export interface Origin {
  source: string;
  grade: string;
}

export type Span = YearSpan & { open: boolean; lost: boolean };

/** A blank with all its figures. */
export interface Planchet {
  mass: Figure;
  limit: Limit | null;
  diameter: Figure | null;
  thickness: Figure | null;
  edge: string;
  edgeNote: string;
  edgeBy: Origin | null;
  alloy: Metal;
  layers: Layer[];
  layersBy: Origin | null;
  magnetic: string;
  colour: string;
  /** Of magnetism and colour. */
  looksBy: Origin | null;
  density: { value: number; low: number; high: number } | null;
  planchetNote: string;
}

export interface Issue extends Planchet, Origin {
  id: string;
  country: string;
  denomination: string;
  name: string;
  spans: Span[];
  circulating: boolean;
  note: string;
}

/** A coin of any country, named with it; one of a country that no judgement is made for has no denomination. */
export interface WorldCoin extends Issue {
  countryName: string;
}

/** A coin that fits what was weighed and seen, with its share among those that fit. */
export interface FittingCoin extends WorldCoin {
  chance: number;
}

export interface FitsAnswer {
  sentence: string;
  coins: FittingCoin[];
  /** How many fit beside those listed. */
  more: number;
  caution: string;
  sources: Map<string, CoinSource>;
}

/** A coin that a country's mint struck for another one. */
export interface ForeignStrike extends Planchet {
  country: string;
  name: string;
  spans: Span[];
  /** Of the striking and its years. */
  by: Origin | null;
}

export interface CoinSource {
  title: string;
  note: string;
}

export interface CoinList {
  coins: Issue[];
  struckForOthers: ForeignStrike[];
  /** Of countries that no judgement is made for. */
  strangers: WorldCoin[];
  sources: Map<string, CoinSource>;
}

export function readCoins(x: unknown): CoinList {
  const f = fields(x);
  return {
    coins: list(f.coins).flatMap(readIssue),
    struckForOthers: list(f.struck_for_others).flatMap(readForeignStrike),
    strangers: list(f.strangers).flatMap(readWorldCoin),
    sources: readSources(f.sources),
  };
}

/** The answer of the method “fits”. */
export function readFits(x: unknown): FitsAnswer | null {
  const f = fields(x);
  if (!words(f.sentence)) return null;
  return {
    sentence: words(f.sentence),
    coins: list(f.coins).flatMap((c) =>
      readWorldCoin(c).map((w) => ({ ...w, chance: number(fields(c).chance) ?? 0 })),
    ),
    more: number(f.more) ?? 0,
    caution: words(f.caution),
    sources: readSources(f.sources),
  };
}

function readWorldCoin(x: unknown): WorldCoin[] {
  return readIssue(x).map((i) => ({ ...i, countryName: words(fields(x).country_name) || i.country }));
}

function readSources(x: unknown): Map<string, CoinSource> {
  const sources = new Map<string, CoinSource>();
  for (const s of list(x).map(fields)) {
    const id = words(s.id);
    if (id) sources.set(id, { title: words(s.title), note: words(s.note) });
  }
  return sources;
}

function readIssue(x: unknown): Issue[] {
  const c = fields(x);
  const id = words(c.id);
  const planchet = readPlanchet(c.planchet);
  if (!id || !planchet) return [];
  return [
    {
      ...planchet,
      id,
      country: words(c.country),
      denomination: words(c.denomination),
      name: words(c.name) || id,
      spans: list(c.struck).flatMap(readStruck),
      circulating: c.circulating === true,
      note: words(c.note),
      source: words(c.source),
      grade: words(c.grade),
    },
  ];
}

function readForeignStrike(x: unknown): ForeignStrike[] {
  const g = fields(x);
  const name = words(g.name);
  const planchet = readPlanchet(g.planchet);
  if (!name || !planchet) return [];
  const spans = list(g.struck).flatMap(readStruck);
  return [{ ...planchet, country: words(g.country), name, spans, by: readOrigin(g.by) }];
}

function readPlanchet(x: unknown): Planchet | null {
  const p = fields(x);
  const mass = readFigure(p.mass);
  if (!mass) return null;
  return {
    mass,
    limit: readLimit(p.limit),
    diameter: readFigure(p.diameter),
    thickness: readFigure(p.thickness),
    edge: words(p.edge),
    edgeNote: words(p.edge_note),
    edgeBy: readOrigin(p.edge_by),
    alloy: readMetal(p.alloy),
    layers: list(p.layers).map((y) => ({
      part: words(fields(y).part),
      metal: readMetal(fields(y).alloy),
      share: number(fields(y).share),
    })),
    layersBy: readOrigin(p.layers_by),
    magnetic: words(p.magnetic),
    colour: words(p.colour),
    looksBy: readOrigin(p.looks_by),
    density: readDensity(p.density),
    planchetNote: words(p.note),
  };
}

function readOrigin(x: unknown): Origin | null {
  const by = fields(x);
  return words(by.source) ? { source: words(by.source), grade: words(by.grade) } : null;
}

function readStruck(x: unknown): Span[] {
  const s = fields(x);
  const first = number(s.first);
  const last = number(s.last);
  if (first === null || last === null) return [];
  const marks = list(s.marks).map(words).filter(Boolean);
  return [{ first, last, marks, open: s.open === true, lost: s.lost === true }];
}

function readFigure(x: unknown): Figure | null {
  const f = fields(x);
  const value = number(f.value);
  return value === null
    ? null
    : { text: words(f.text), value, source: words(f.source), grade: words(f.grade) };
}

function readLimit(x: unknown): Limit | null {
  const figure = readFigure(x);
  return figure && { ...figure, scope: words(fields(x).scope), batch: words(fields(x).batch) };
}

function readMetal(x: unknown): Metal {
  const a = fields(x);
  return {
    name: words(a.name),
    fractions: readFractions(a.fractions),
    note: words(a.note),
    source: words(a.source),
    grade: words(a.grade),
  };
}

function readDensity(x: unknown): Planchet["density"] {
  const d = fields(x);
  const [value, low, high] = [number(d.value), number(d.low), number(d.high)];
  return value === null || low === null || high === null ? null : { value, low, high };
}
