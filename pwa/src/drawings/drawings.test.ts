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

const drawn = readdirSync(here)
  .filter((name) => name.endsWith(".svg"))
  .map((name) => name.slice(0, -".svg".length));

describe("drawings", () => {
  test("there is one for each kind and each step of the key, and no other", () => {
    expect(drawn.sort()).toEqual([...wanted].sort());
  });

  test.each(drawn)("%s can stand in any page", (name) => {
    const svg = readFileSync(join(here, `${name}.svg`), "utf8");
    expect(svg).toMatch(/^<svg [^>]*viewBox="0 0 120 120"[^>]*role="img"/);
    expect(svg).toMatch(/<title>[^<]+<\/title>/);
    expect(svg).toContain('stroke="currentColor"');
    // Ink of the page only: no colour of its own, no script, nothing fetched.
    expect(svg).not.toMatch(/#[0-9a-f]{3,6}\b|rgb|<script|<image|href|style=|on\w+=/i);
    // An id must not meet that of another drawing on the page.
    for (const [, id] of svg.matchAll(/ id="([^"]+)"/g)) expect(id?.startsWith(name)).toBe(true);
    expect(Buffer.byteLength(svg)).toBeLessThanOrEqual(1500);
  });
});
