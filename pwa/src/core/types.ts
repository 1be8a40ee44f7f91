/**
 * What the core answers, as far as the screens read it. The rules that make
 * these answers are written once, in Go; nothing here decides anything.
 */

export type Method =
  | "judge"
  | "shown"
  | "book"
  | "look"
  | "coins"
  | "fits"
  | "key"
  | "dated"
  | "keep"
  | "density"
  | "roll"
  | "ring"
  | "scale-check"
  | "scale-guide"
  | "radio-weight";

/** The methods that the phone's own core alone has; the documentation of internal/bridge describes them. */
export const journalMethods = [
  "journal-open",
  "journal-add",
  "journal-snapshot",
  "journal-write",
  "journal-count",
  "journal-pause",
  "journal-undo",
  "journal-list",
  "journal-record",
  "journal-hunts",
  "journal-conflicts",
  "sync-wake",
  "sync-next",
  "sync-answer",
  "sync-part",
] as const;
export type JournalMethod = (typeof journalMethods)[number];
/** Those of its sync; see sync.ts. */
export type SyncMethod = Extract<JournalMethod, `sync-${string}`>;

export interface CoreFault {
  code: string;
  sentence: string;
  field?: string;
}

export type Answer<T> = { ok: T } | { error: CoreFault };

export const calls = ["ordinary", "keeper", "either", "look", "cannot-tell"] as const;
export type Call = (typeof calls)[number];

export const toleranceStates = ["within", "below", "above", "inconclusive", "unpublished"] as const;
export type ToleranceState = (typeof toleranceStates)[number];

export const supports = [
  "less",
  "equal",
  "weak",
  "moderate",
  "moderately-strong",
  "strong",
  "very-strong",
] as const;
export type Support = (typeof supports)[number];

/** Where a figure comes from: P, S, C, or a mark in words. */
export interface FigureSource {
  title: string;
  grade: string;
}

export interface AlloyChance {
  name: string;
  fractions: Record<string, number>;
  probability: number;
  years: string;
}

export interface Tolerance {
  state: ToleranceState;
  nominal_g: number | null;
  limit_g: number | null;
  conformity: number | null;
  u_g: number | null;
  worn_ok: boolean;
  scope: string;
  sentence: string;
  /** What would settle an inconclusive answer. */
  settle: string;
  limit_source: FigureSource | null;
  nominal_source: FigureSource | null;
}

export interface Explanation {
  kind: string;
  name: string;
  expected_g: number | null;
  likelihood_ratio: number | null;
  /** That ratio in a word; null where the core gives none. */
  support: Support | null;
  /** Strong enough to steer what to inspect. */
  speaks: boolean;
  /** Worth an expert's time. */
  expert: boolean;
  confirm: string;
}

export interface Test {
  /** The core’s word for it: magnet, edge, … */
  test: string;
  sentence: string;
  /** The parts of the sentence: how it is done, and what its results would say. */
  do: string;
  tells: string;
  caution: string;
  /** The field of the evidence that its answer goes into; empty where it isn't answered by a button. */
  evidence: string;
  choices: TestChoice[];
}

/** One answer to a test: what goes into the evidence, and its words. */
export interface TestChoice {
  value: string;
  name: string;
}

/** Something of a list with its words. */
export interface Named {
  id: string;
  name: string;
}

/** The one thing to see between ordinary and rare; answered by the evidence of its id. */
export interface OpenQuestion {
  id: string;
  sentence: string;
  choices: Named[];
  /** How a ruler is laid on to answer it; missing where none can. */
  ruler?: { is: string; where: string; grade: string };
  /** How much likelier the ruler's best choice is than the others; missing where none was laid on. */
  odds?: number;
}

/** A question that the evidence has answered. */
export interface AnsweredQuestion extends OpenQuestion {
  choice: string;
}

/** Something to keep that the coin book knows, such as silver. */
export interface Want extends Named {
  /** Which coins those are; may be empty. */
  note: string;
  /** On the list that a hunter begins with. */
  start: boolean;
}

/** One thing to inspect; the core gives them in the order to take them. */
export interface LookFor {
  /** The fact’s own, which stays. */
  id: string;
  kind: string;
  name: string;
  scope: string; // date | type | any
  side: string;
  where: string;
  tool: string;
  light: string;
  appearance: string;
  mimics: string;
  deciding_sign: string;
  weight: string;
  rarity: string;
  sure: string;
  look_alike: boolean;
  /** Names of drawings: what to look for first, then what is taken for it. */
  drawings: string[];
  explains_weight: boolean;
  /** One of the few to begin with. */
  first: boolean;
  /** Which of the words above are English, in the core's names, since the book's language has none. */
  english: string[];
}

export interface Caution {
  id: string;
  text: string;
  sure: string;
}

export interface Sheet {
  look: LookFor[];
  cautions: Caution[];
}

export interface Verdict {
  call: Call;
  /** What it comes down to. Two verdicts say the same if and only if their claims are equal; nothing else is in it. */
  claim: string;
  headline: string;
  /** Its first sentence, which is read at a glance, and what follows that; empty if nothing does. */
  headline_first: string;
  headline_rest: string;
  spoken: string;
  decisive: boolean;
  alloys: AlloyChance[];
  /** The one that it names; null for none or several. The id is the same in every language. */
  metal: Named | null;
  tolerance: Tolerance | null;
  explanations: Explanation[];
  next_test: Test | null;
  /** A few more that would tell something. */
  other_tests: Test[];
  /** What the weight is to the look-fors: light, heavy, regular, or empty. */
  hint: string;
  tally: CountAs;
  /** What it is of the hunter's list; with "either", what it may be. */
  wanted: Named[];
  /** What it is that the list hasn't got. */
  could_keep: Named[];
  question: OpenQuestion | null;
  answered: AnsweredQuestion[];
  /** The question for the sheet that follows this verdict, to be handed on as it is; null from an older core. */
  inspect: Record<string, unknown> | null;
}

/** What a hands-free sitting does with the coin. */
export interface CountAs {
  /** What it is counted as; empty where it is counted by its call. */
  name: string;
  /** Set aside for the eye. */
  aside: boolean;
  /** Counted as its likeliest alloy, with a rival that weight doesn't tell apart. */
  noted: boolean;
  /** The alloy is one that is struck now. */
  current: boolean;
  /** Two coins at once, most likely: not counted, each is to be weighed alone. */
  again: boolean;
  keeper: boolean;
}

/** One load with one question about it. */
export interface Subject {
  load: number;
  asked: string;
}

/** What stands on the glass; internal/shown has the rule. Numbers are the asker's own of its questions, 0 for none. */
export interface View {
  /** What now is about. */
  of: Subject | null;
  now: number;
  /** The coin before, or this one before it moved. */
  last: number;
  /** What last becomes when the load goes. */
  after: number;
  /** An answer waits for confirmation: the same estimate is worth asking about again. */
  waiting: boolean;
}

/** The answer to “shown”. */
export interface ShownStep {
  /** The core's own, to be given back with the next question. */
  state: unknown;
  view: View;
  /** The answer to the question; null if none was asked, or it was refused. */
  verdict: Verdict | null;
  refusal: CoreFault | null;
}

/** A run of years and the mint marks a coin of them may show; “-” is no mark. */
export interface YearSpan {
  first: number;
  last: number;
  marks: string[];
}

export interface Denomination {
  country: string;
  id: string;
  name: string;
  short: string;
  current: boolean;
  spans: YearSpan[];
  diameter_mm: number | null;
  edge: string;
}

export interface Country {
  id: string;
  name: string;
  denominations: Denomination[];
  wants: Want[];
}

export interface JudgeQuestion {
  country: string;
  denomination: string;
  year: number;
  mint: string;
  mean_g: number;
  u_g: number;
  /** The chance that mean_g isn’t the whole coin, and its u if it is; left out if there is none. */
  half?: number;
  u_whole_g?: number;
  resolution_g: number;
  /** What was found out beside the weight, by the core’s names for it. */
  evidence?: Record<string, string>;
  /** What the hunter keeps; left out for the list to begin with. */
  keep?: string[];
  /** Where the coins come from, which says how often silver is among them; left out for a jar. */
  source?: string;
}
