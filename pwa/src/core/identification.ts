import { fields, list, number, words } from "./json";

/** The identification key as the core gives it, and the walk through it. */

export interface KeyAnswer {
  say: string;
  to: string;
  kind: string;
  end: string;
}

export interface KeyQuestion {
  id: string;
  ask: string;
  help: string;
  drawing: string;
  answers: KeyAnswer[];
}

export interface KeyEnd {
  id: string;
  text: string;
  photograph: string[];
  drawing: string;
}

export interface KeyKind {
  id: string;
  name: string;
  lookAlike: boolean;
  where: string;
  light: string;
  see: string;
  mimics: string;
  decides: string;
  weight: string;
  rarity: string;
  sure: string;
}

export interface IdentificationKey {
  start: string;
  questions: Map<string, KeyQuestion>;
  ends: Map<string, KeyEnd>;
  kinds: Map<string, KeyKind>;
  /** What the weighing has answered already: the answer's number, by question. */
  filled: Map<string, number>;
}

export function readKey(x: unknown): IdentificationKey | null {
  const k = fields(x);
  const byId = <T extends { id: string }>(all: T[]) => new Map(all.map((t) => [t.id, t]));
  const questions = byId(list(k.questions).map(readQuestion));
  const start = words(k.start);
  if (!questions.has(start)) return null;
  const filled = new Map<string, number>();
  for (const [question, answer] of Object.entries(fields(k.filled))) {
    const n = number(answer);
    if (n !== null) filled.set(question, n);
  }
  return {
    start,
    questions,
    ends: byId(list(k.ends).map(readEnd)),
    kinds: byId(list(k.kinds).map(readKind)),
    filled,
  };
}

function readQuestion(x: unknown): KeyQuestion {
  const q = fields(x);
  return {
    id: words(q.id),
    ask: words(q.ask),
    help: words(q.help),
    drawing: words(q.drawing),
    answers: list(q.answers)
      .map(fields)
      .map((a) => ({ say: words(a.say), to: words(a.to), kind: words(a.kind), end: words(a.end) })),
  };
}

function readEnd(x: unknown): KeyEnd {
  const e = fields(x);
  return {
    id: words(e.id),
    text: words(e.text),
    photograph: list(e.photograph).map(words).filter(Boolean),
    drawing: words(e.drawing),
  };
}

function readKind(x: unknown): KeyKind {
  const k = fields(x);
  return {
    id: words(k.id),
    name: words(k.name),
    lookAlike: k.look_alike === true,
    where: words(k.where),
    light: words(k.light),
    see: words(k.see),
    mimics: words(k.mimics),
    decides: words(k.decides),
    weight: words(k.weight),
    rarity: words(k.rarity),
    sure: words(k.sure),
  };
}

/** One answered question of a walk. */
export interface Step {
  question: string;
  answer: number;
  /** Answered by the weighing, not by the person. */
  byScale: boolean;
}

/** Where a walk stands. */
export type Stand =
  | { at: "question"; question: KeyQuestion }
  | { at: "kind"; kind: KeyKind }
  | { at: "end"; end: KeyEnd };

export function standOf(key: IdentificationKey, steps: readonly Step[]): Stand | null {
  const last = steps.at(-1);
  const id = last ? undefined : key.start;
  const answer = last && key.questions.get(last.question)?.answers[last.answer];
  const question = key.questions.get(id ?? answer?.to ?? "");
  if (question) return { at: "question", question };
  const kind = answer && key.kinds.get(answer.kind);
  if (kind) return { at: "kind", kind };
  const end = answer && key.ends.get(answer.end);
  return end ? { at: "end", end } : null;
}

/**
 * The walk after an answer, and on through the questions that the weighing has
 * answered. What strikes the eye stays the person's to say: the first question
 * is never answered for them.
 */
export function walk(key: IdentificationKey, steps: readonly Step[], answer: number): Step[] {
  const now = standOf(key, steps);
  if (now?.at !== "question") return [...steps];
  const on = [...steps, { question: now.question.id, answer, byScale: false }];
  for (let next = standOf(key, on); next?.at === "question"; next = standOf(key, on)) {
    const filled = key.filled.get(next.question.id);
    if (filled === undefined || !next.question.answers[filled]) break;
    on.push({ question: next.question.id, answer: filled, byScale: true });
  }
  return on;
}

/** The shortest walk that stands at a question; none where no answers lead to it. */
export function stepsTo(key: IdentificationKey, question: string): Step[] {
  const ways = new Map<string, Step[]>([[key.start, []]]);
  for (const [at, steps] of ways) {
    if (at === question) return steps;
    key.questions.get(at)?.answers.forEach(({ to }, answer) => {
      if (to && !ways.has(to)) ways.set(to, [...steps, { question: at, answer, byScale: false }]);
    });
  }
  return [];
}

/** The steps that still hold when the weighing says something else: up to the first that it no longer says. */
export function stillSaid(key: IdentificationKey, steps: readonly Step[]): Step[] {
  const gone = steps.findIndex((s) => s.byScale && key.filled.get(s.question) !== s.answer);
  return gone < 0 ? [...steps] : steps.slice(0, gone);
}
