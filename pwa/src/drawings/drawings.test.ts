import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";

const here = import.meta.dirname;
const data = join(here, "../../../internal/book/data/looks");

interface Kinds {
  kinds: { id: string }[];
}
interface Key {
  questions: { drawing: string }[];
  ends: { drawing: string }[];
}
const read = <T>(name: string) => JSON.parse(readFileSync(join(data, name), "utf8")) as T;

const wanted = new Set(read<Kinds>("kinds.json").kinds.map((k) => k.id));
const key = read<Key>("key.json");
for (const step of [...key.questions, ...key.ends]) wanted.add(step.drawing);

/** What can be answered to each open question of the coin book. */
const book = join(here, "../../../internal/book/data");
interface Questions {
  questions: { id: string; choices: { id: string }[] }[];
}
const asked: Record<string, string[]> = {};
for (const file of readdirSync(book, { recursive: true, encoding: "utf8" })) {
  if (!/(^|\/)questions\.json$/.test(file)) continue;
  const { questions } = JSON.parse(readFileSync(join(book, file), "utf8")) as Questions;
  for (const q of questions) asked[q.id] = q.choices.map((c) => c.id);
}
const choices = Object.entries(asked).flatMap(([q, all]) => all.map((c) => `${q}/${c}`));

const drawn = readdirSync(here, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".svg"))
  .map((name) => name.slice(0, -".svg".length));

describe("drawings", () => {
  test("there is one for each kind, each step of the key and each choice of a question, and no other", () => {
    expect(drawn.sort()).toEqual([...wanted, ...choices].sort());
  });

  test("the coin book asks something", () => {
    expect(Object.keys(asked)).toContain("us-cent-1982-date");
  });

  test("the choices of one question are told apart by eye and by ear", () => {
    for (const [q, all] of Object.entries(asked)) {
      const pictures = all.map((c) => readFileSync(join(here, q, `${c}.svg`), "utf8"));
      expect(new Set(pictures.map((svg) => svg.replace(/<title>.*<\/title>/, ""))).size).toBe(all.length);
      const titles = pictures.map((svg) => /<title>(.*)<\/title>/.exec(svg)?.[1] ?? "");
      expect(new Set(titles).size).toBe(all.length);
      // A name such as “small date” is beside it already; the drawing's own words say what to see.
      for (const title of titles) expect(title.length).toBeGreaterThan(30);
    }
  });

  test.each(drawn)("%s can stand in any page", (name) => {
    const svg = readFileSync(join(here, `${name}.svg`), "utf8");
    expect(svg).toMatch(/^<svg [^>]*viewBox="0 0 120 120"[^>]*role="img"/);
    expect(svg).toMatch(/<title>[^<]+<\/title>/);
    expect(svg).toContain('stroke="currentColor"');
    // Ink of the page only: no colour of its own, no script, nothing fetched.
    expect(svg).not.toMatch(/#[0-9a-f]{3,6}\b|rgb|<script|<image|href|style=|on\w+=/i);
    // An id must not meet that of another drawing on the page.
    for (const [, id] of svg.matchAll(/ id="([^"]+)"/g))
      expect(id?.startsWith(name.replace("/", "-"))).toBe(true);
    expect(Buffer.byteLength(svg)).toBeLessThanOrEqual(1500);
  });
});
