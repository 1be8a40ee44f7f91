import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";

// The same English as server/repocheck/english_test.go holds the laptop's sentences to.

/** Spellings that an American reader stumbles over, and words that the trade has better ones for. */
const british =
  /\b(colours?|coloured|grey(ish)?|neighbours?|honour\w*|favour\w*|lustre|centred?|off-centre|aluminium|jewellery|moulds?|(milli|centi)?metres?|recognis\w*|judgement|maize|ribbed|smooth|catalogues?|half way|any more|whilst|towards)\b/i;

/** What a printer sets otherwise: a blank before a percent sign, and a straight apostrophe in a word. */
const unprinted = /[\d}](?: |\u00a0|\\u00a0)%|^(?: |\u00a0|\\u00a0)%|\p{L}'\p{L}/u;

/** Turns of phrase that were read as riddles, and pieces of a sentence in the wrong place. */
const riddles =
  /\b(how far (it|this scale) errs|is no (find|find yet|JPEG)|by itself|goes on|just now|holds? the pan|less than nothing|what becomes of|taken for|(melted|kept|worn|relief|only|use) struck\.)/i;

/** Values of the wire that keep their spelling, and what a screen says of a time. */
const allowed = new Set(["centre", "just now"]);

/** What in a text isn't as the app writes; empty if nothing is. */
function stumble(words: string): string {
  if (allowed.has(words)) return "";
  for (const rule of [british, unprinted, riddles]) {
    const found = rule.exec(words);
    if (found) return found[0];
  }
  return "";
}

/** The quoted and the template strings of a source, without its comments. */
function stringsOf(source: string): string[] {
  const code = source.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|\s)\/\/.*$/gm, "$1");
  return [...code.matchAll(/"([^"\n]*)"|`([^`]*)`/g)].map((m) => m[1] ?? m[2] ?? "");
}

const read = (folder: string, ending: string) =>
  readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(ending) && !name.includes(".test."))
    .map((name): [string, string] => [name, readFileSync(join(folder, name), "utf8")]);

describe("the app’s English", () => {
  it.each([
    ["Look at the colour.", "colour"],
    ["duller grey", "grey"],
    ["95 % of the time", "5 %"],
    ["over 99\u00a0%", "9\u00a0%"],
    // biome-ignore lint/suspicious/noTemplateCurlyInString: as a source has it.
    ["${share}\\u00a0% copper", "}\\u00a0%"],
    ["it isn't", "n't"],
    ["3.2 million, mostly worn struck.", "worn struck."],
    ["Look at the color.", ""],
    ["40% silver", ""],
    ["it isn’t", ""],
    ["centre", ""],
  ])("finds what isn’t: %s", (words, found) => {
    expect(stumble(words)).toBe(found);
  });

  it.each(read(import.meta.dirname, ".ts").filter(([name]) => !/^es/.test(name)))(
    "is American, as printed and without riddles: %s",
    (_, source) => {
      expect(stringsOf(source).filter(stumble)).toEqual([]);
    },
  );

  it.each(read(join(import.meta.dirname, ".."), ".tsx"))(
    "%s sets no blank before a percent sign",
    (_, source) => {
      expect(stringsOf(source).filter((s) => unprinted.test(s))).toEqual([]);
    },
  );

  it("is read from all the texts", () => {
    const all = read(import.meta.dirname, ".ts").flatMap(([, source]) => stringsOf(source));
    expect(all.length).toBeGreaterThan(1000);
  });
});
