import { type Signal, signal } from "@preact/signals";
import { fields, list, number, readAnswer, words } from "../core/read";
import { type Api, Refusal } from "../laptop/api";
import { askIn, type UnitAsk } from "../live/wire";

/** How the scale was found and is read, and what a person fixed of it. */

export interface ScaleSettings {
  port: string;
  baud: number;
  framing: string;
  format: string;
  pattern: string;
  unit: string;
  step: string;
  step_unit: string;
  keep_awake: boolean;
}

/** A line as it came: each byte is the character of that number. */
export interface RawLine {
  raw: string;
  times: number;
}

export const foundWords = ["scale", "silent", "speaks", "not-opened"] as const;
export type FoundThere = (typeof foundWords)[number];

export interface ScalePort {
  port: string;
  kind: string;
  node: string;
  found: FoundThere | null;
  line: string;
  reason: string;
  heard: RawLine[];
}

export interface ScaleFormat {
  format: string;
  summary: string;
  lines: string[];
  keepAwake: boolean;
}

export interface ScaleView {
  settings: ScaleSettings;
  kept: boolean;
  now: {
    name: string;
    kind: string;
    line: string;
    format: string;
    sure: number;
    lines: number;
    unit: string;
    step: string;
    problem: string;
    asks: UnitAsk | null;
    /** What the person said of this scale's units; empty is not said. */
    said: { unit: string; gr: string };
  };
  ports: ScalePort[];
  formats: ScaleFormat[];
  lines: RawLine[];
}

export const automatic = (port: string): ScaleSettings => ({
  port,
  baud: 0,
  framing: "",
  format: "",
  pattern: "",
  unit: "",
  step: "",
  step_unit: "",
  keep_awake: false,
});

const readLines = (x: unknown): RawLine[] =>
  list(x).map((l) => ({ raw: words(fields(l).raw), times: number(fields(l).times) ?? 1 }));

export function readScaleView(x: unknown): ScaleView {
  const v = fields(x);
  const s = fields(v.settings);
  const n = fields(v.now);
  return {
    settings: {
      port: words(s.port),
      baud: number(s.baud) ?? 0,
      framing: words(s.framing),
      format: words(s.format),
      pattern: words(s.pattern),
      unit: words(s.unit),
      step: words(s.step),
      step_unit: words(s.step_unit),
      keep_awake: s.keep_awake === true,
    },
    kept: v.kept === true,
    now: {
      name: words(n.name),
      kind: words(n.kind),
      line: words(n.line),
      format: words(n.format),
      sure: number(n.sure) ?? 0,
      lines: number(n.lines) ?? 0,
      unit: words(n.unit),
      step: words(n.step),
      problem: words(fields(n.problem).sentence),
      asks: askIn(n.asks).ask ?? null,
      said: { unit: words(fields(n.said).unit), gr: words(fields(n.said).gr) },
    },
    ports: list(v.ports).map((p) => {
      const f = fields(p);
      return {
        port: words(f.port),
        kind: words(f.kind),
        node: words(f.node),
        found: foundWords.find((w) => w === f.found) ?? null,
        line: words(f.line),
        reason: words(f.reason),
        heard: readLines(f.heard),
      };
    }),
    formats: list(v.formats).map((p) => {
      const f = fields(p);
      return {
        format: words(f.format),
        summary: words(f.summary),
        lines: list(f.lines).map(words),
        keepAwake: f.keep_awake === true,
      };
    }),
    lines: readLines(v.lines),
  };
}

/** What a pattern makes of one line; stop is the column from which it doesn't explain it, 0 if it does. */
export interface TriedLine {
  stop: number;
  value: string;
  unit: string;
  status: string;
  problem: string;
}

/** What a pattern makes of lines; at is the column where the pattern itself is wrong, 0 if it isn't. */
export interface Trial {
  at: number;
  sentence: string;
  lines: TriedLine[];
}

export function readTrial(x: unknown): Trial {
  const t = fields(x);
  return {
    at: number(t.at) ?? 0,
    sentence: words(t.sentence),
    lines: list(t.lines).map((l) => {
      const f = fields(l);
      return {
        stop: number(f.stop) ?? 0,
        value: words(f.value),
        unit: words(f.unit),
        status: words(f.status),
        problem: words(f.problem),
      };
    }),
  };
}

type Door = Pick<Api, "exchange" | "core">;

/** Looks at the scale's settings on the laptop, and changes them. */
export class ScaleHand {
  readonly view: Signal<ScaleView | null> = signal(null);
  /** The laptop's sentence for what can't be looked at; empty while all is well, “-” without a sentence. */
  readonly trouble: Signal<string> = signal("");
  private api: Door;
  private newest = 0;

  constructor(api: Door) {
    this.api = api;
  }

  async look(): Promise<void> {
    const mine = ++this.newest;
    try {
      const view = readScaleView(await (await this.api.exchange("GET", "/api/v1/scale")).json());
      if (mine !== this.newest) return;
      this.view.value = view;
      this.trouble.value = "";
    } catch (cause) {
      if (mine === this.newest) this.trouble.value = (cause instanceof Refusal && cause.sentence) || "-";
    }
  }

  /** Null when they count now, else why not. */
  async set(settings: ScaleSettings): Promise<{ field: string; sentence: string } | null> {
    try {
      const answer = await this.api.exchange("PUT", "/api/v1/scale", JSON.stringify(settings));
      const view = readScaleView(await answer.json());
      this.newest++;
      this.view.value = view;
      return null;
    } catch (cause) {
      return cause instanceof Refusal
        ? { field: cause.field, sentence: cause.sentence }
        : { field: "", sentence: "" };
    }
  }
}

/**
 * Tries a pattern on lines while it is typed; only the newest question's answer
 * is shown. The laptop answers: the formats of scales aren't part of the phone's
 * core.
 */
export class PatternTrial {
  readonly trial: Signal<Trial | null> = signal(null);
  private api: Pick<Door, "core">;
  private newest = 0;

  constructor(api: Pick<Door, "core">) {
    this.api = api;
  }

  async ask(pattern: string, lines: RawLine[]): Promise<void> {
    const mine = ++this.newest;
    if (!pattern) {
      this.trial.value = null;
      return;
    }
    try {
      const answer = readAnswer(
        await this.api.core("scale-pattern", JSON.stringify({ pattern, lines: lines.map((l) => l.raw) })),
      );
      if (mine === this.newest && "ok" in answer) this.trial.value = readTrial(answer.ok);
    } catch {
      if (mine === this.newest) this.trial.value = null;
    }
  }
}

/** A raw line that can be read: what is no plain character stands as its number. */
export const legible = (raw: string): string =>
  Array.from(raw, (c) => {
    const n = c.charCodeAt(0);
    return n < 0x20 || n > 0x7e ? `\\x${n.toString(16).padStart(2, "0")}` : c;
  }).join("");

const weightIn = [/([+-]?) *\d+\.\d+( *)([A-Za-z]{1,3})?/, /([+-]?) *\d+( *)([A-Za-z]{1,3})?/];

/** A pattern to begin with, made of a line with a number in it; “” if there is none. */
export function patternFrom(raw: string): string {
  const m = weightIn.map((r) => r.exec(raw)).find((found) => found !== null);
  if (!m) return "";
  const [all, sign, blanks = "", unit] = m;
  const after = asText(raw.slice(m.index + all.length).replace(/ +$/, ""));
  const number = `${sign ? "<sign>" : ""}<value>`;
  const rest = unit ? `${blanks}<unit>${after}` : `<unit=g>${after ? blanks : ""}${after}`;
  return asText(raw.slice(0, m.index)) + number + rest;
}

/** Characters as they stand in a pattern. */
const asText = (s: string): string =>
  Array.from(s, (c) => (c === "<" ? "<<" : c < " " || c > "~" ? "<skip:1>" : c)).join("");
