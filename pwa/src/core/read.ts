import { type Fields, fields, isFields, list, number, oneOf, words } from "./json";
import {
  type AlloyChance,
  type Answer,
  type Call,
  type Caution,
  type CoreFault,
  type CountAs,
  type Country,
  calls,
  type Denomination,
  type Explanation,
  type FigureSource,
  type LookFor,
  type Named,
  type OpenQuestion,
  type Sheet,
  type ShownStep,
  type Subject,
  supports,
  type Test,
  type Tolerance,
  toleranceStates,
  type Verdict,
  type View,
  type Want,
  type YearSpan,
} from "./types";

/**
 * Reads the core's JSON into the types the screens use. A phone may be older or
 * newer than the laptop's core, so a missing part becomes an empty one; an
 * answer without its essentials becomes null and is not shown.
 */

/** Reads the envelope that every call comes in. */
export function readAnswer(json: string): Answer<unknown> {
  let outer: Fields;
  try {
    outer = fields(JSON.parse(json));
  } catch {
    return { error: { code: "internal", sentence: "" } };
  }
  if ("ok" in outer) return { ok: outer.ok };
  return { error: readFault(outer.error) };
}

function readFault(x: unknown): CoreFault {
  const f = fields(x);
  const fault: CoreFault = { code: words(f.code) || "internal", sentence: words(f.sentence) };
  if (typeof f.field === "string" && f.field) fault.field = f.field;
  return fault;
}

export function readVerdict(x: unknown): Verdict | null {
  const v = fields(x);
  const call = oneOf(calls, v.call);
  const headline = words(v.headline);
  if (!call || !headline) return null;
  return {
    call,
    claim: words(v.claim) || call, // an older core's verdicts are told apart by their call
    headline,
    // An older core doesn't part it.
    headline_first: words(v.headline_first) || headline,
    headline_rest: words(v.headline_rest),
    spoken: words(v.spoken) || headline,
    decisive: v.decisive === true,
    alloys: list(v.alloys).map(readAlloy),
    metal: readNamed(v.metal)[0] ?? null,
    tolerance: readTolerance(v.tolerance),
    explanations: list(v.explanations).map(readExplanation),
    next_test: readTest(v.next_test),
    other_tests: list(v.other_tests).flatMap((t) => readTest(t) ?? []),
    hint: words(v.hint),
    tally: readCountAs(v.tally, call),
    wanted: list(v.wanted).flatMap(readNamed),
    could_keep: list(v.could_keep).flatMap(readNamed),
    question: readQuestion(v.question),
    answered: list(v.answered).flatMap((a) => {
      const q = readQuestion(a);
      const choice = words(fields(a).choice);
      return q && choice ? [{ ...q, choice }] : [];
    }),
    inspect: isFields(v.inspect) ? v.inspect : null,
  };
}

/** The answer of “keep”. */
export function readWanted(x: unknown): Named[] {
  return list(fields(x).wanted).flatMap(readNamed);
}

function readNamed(x: unknown): Named[] {
  const n = fields(x);
  const id = words(n.id);
  return id ? [{ id, name: words(n.name) || id }] : [];
}

/** null where fewer than two answers could be given. */
function readQuestion(x: unknown): OpenQuestion | null {
  const q = fields(x);
  const id = words(q.id);
  const choices = list(q.choices).flatMap(readNamed);
  if (!id || choices.length < 2) return null;
  const odds = number(q.odds);
  const ruler = isFields(q.ruler) ? readRuler(q.ruler) : null;
  return {
    id,
    sentence: words(q.sentence),
    choices,
    ...(ruler && { ruler }),
    ...(odds !== null && { odds }),
  };
}

function readRuler(r: Record<string, unknown>): NonNullable<OpenQuestion["ruler"]> {
  return { is: words(r.is), where: words(r.where), grade: words(r.grade) };
}

/** A laptop's older core doesn't say how to count: then what isn't ordinary is set aside. */
function readCountAs(x: unknown, call: Call): CountAs {
  const t = fields(x);
  return {
    name: words(t.name),
    aside: typeof t.aside === "boolean" ? t.aside : call === "look" || call === "either",
    noted: t.noted === true,
    current: t.current === true,
    again: t.again === true,
    keeper: typeof t.keeper === "boolean" ? t.keeper : call === "keeper",
  };
}

/** null if it isn't an answer to “shown”. */
export function readShown(x: unknown): ShownStep | null {
  const s = fields(x);
  const view = fields(s.view);
  const now = number(view.now);
  if (now === null) return null;
  return {
    state: s.state ?? null,
    view: {
      of: readSubject(view.of),
      now,
      last: number(view.last) ?? 0,
      after: number(view.after) ?? 0,
      waiting: view.waiting === true,
    },
    verdict: readVerdict(s.verdict),
    refusal: s.refusal ? readFault(s.refusal) : null,
  };
}

function readSubject(x: unknown): Subject | null {
  const s = fields(x);
  const load = number(s.load);
  return load === null ? null : { load, asked: words(s.asked) };
}

export const emptyGlass: View = { of: null, now: 0, last: 0, after: 0, waiting: false };

function readTest(x: unknown): Test | null {
  const t = fields(x);
  const sentence = words(t.sentence);
  if (!sentence) return null;
  const evidence = words(t.evidence);
  const choices = list(t.choices).flatMap((c) => {
    const f = fields(c);
    // The core's yes and no may be JSON's own.
    const value = typeof f.value === "boolean" ? String(f.value) : words(f.value);
    return value ? [{ value, name: words(f.name) || value }] : [];
  });
  return {
    test: words(t.test),
    sentence,
    do: words(t.do) || sentence,
    tells: words(t.tells),
    caution: words(t.caution),
    evidence,
    choices: evidence ? choices : [],
  };
}

/** An alloy's shares by mass, by the elements' symbols. */
export function readFractions(x: unknown): Record<string, number> {
  const fractions: Record<string, number> = {};
  for (const [element, share] of Object.entries(fields(x))) {
    const n = number(share);
    if (n !== null) fractions[element] = n;
  }
  return fractions;
}

function readAlloy(x: unknown): AlloyChance {
  const a = fields(x);
  return {
    name: words(a.name),
    fractions: readFractions(a.fractions),
    probability: number(a.probability) ?? 0,
    years: list(a.years).map(words).join(", "),
  };
}

function readSource(x: unknown): FigureSource | null {
  const f = fields(x);
  const title = words(f.title);
  const grade = words(f.grade);
  return title || grade ? { title, grade } : null;
}

function readTolerance(x: unknown): Tolerance | null {
  const t = fields(x);
  const state = oneOf(toleranceStates, t.state);
  if (!state) return null;
  return {
    state,
    nominal_g: number(t.nominal_g),
    limit_g: number(t.limit_g),
    conformity: number(t.conformity),
    u_g: number(t.u_g),
    worn_ok: t.worn_ok === true,
    scope: words(t.scope),
    sentence: words(t.sentence),
    settle: words(t.settle),
    limit_source: readSource(t.limit_source),
    nominal_source: readSource(t.nominal_source),
  };
}

function readExplanation(x: unknown): Explanation {
  const e = fields(x);
  return {
    kind: words(e.kind),
    name: words(e.name),
    expected_g: number(e.expected_g),
    likelihood_ratio: number(e.likelihood_ratio),
    support: oneOf(supports, e.support) ?? null,
    speaks: e.speaks === true,
    expert: e.expert === true,
    confirm: words(e.confirm),
  };
}

export function readSheet(x: unknown): Sheet {
  const s = fields(x);
  return { look: list(s.look).map(readLookFor), cautions: list(s.cautions).map(readCaution) };
}

function readLookFor(x: unknown): LookFor {
  const l = fields(x);
  return {
    id: words(l.id),
    kind: words(l.kind),
    name: words(l.name),
    scope: words(l.scope),
    side: words(l.side),
    where: words(l.where),
    tool: words(l.with),
    light: words(l.light),
    appearance: words(l.see),
    mimics: words(l.mimics),
    deciding_sign: words(l.decides),
    weight: words(l.weight),
    rarity: words(l.rarity),
    sure: words(l.sure),
    look_alike: l.look_alike === true,
    drawings: list(l.drawings).map(words).filter(Boolean),
    explains_weight: l.explains_weight === true,
    first: l.first === true,
    english: list(l.english).map(words),
  };
}

function readCaution(x: unknown): Caution {
  const c = fields(x);
  return { id: words(c.id), text: words(c.text), sure: words(c.sure) };
}

export function readCountries(x: unknown): Country[] {
  return list(fields(x).countries).flatMap((c) => {
    const f = fields(c);
    const id = words(f.id);
    if (!id) return [];
    return [
      {
        id,
        name: words(f.name) || id,
        denominations: list(f.denominations).flatMap((d) => readDenomination(d, id)),
        wants: list(f.wants).flatMap(readWant),
      },
    ];
  });
}

function readWant(x: unknown): Want[] {
  const w = fields(x);
  return readNamed(x).map((n) => ({ ...n, note: words(w.note), start: w.start === true }));
}

function readDenomination(x: unknown, country: string): Denomination[] {
  const d = fields(x);
  const id = words(d.id);
  if (!id) return [];
  return [
    {
      country,
      id,
      name: words(d.name) || id,
      short: words(d.short),
      current: d.current === true,
      spans: list(d.dates).flatMap(readSpan),
      diameter_mm: number(d.diameter_mm),
      edge: words(d.edge),
    },
  ];
}

function readSpan(x: unknown): YearSpan[] {
  const s = fields(x);
  const first = number(s.first);
  const last = number(s.last);
  if (first === null || last === null) return [];
  return [{ first, last, marks: list(s.marks).map(words).filter(Boolean) }];
}
