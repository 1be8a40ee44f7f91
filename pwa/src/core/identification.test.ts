import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import {
  type IdentificationKey,
  readKey,
  type Step,
  standOf,
  stepsTo,
  stillSaid,
  walk,
} from "./identification";

type Entry = { id?: string; to?: string; kind?: string; end?: string; answers?: Entry[] };

/** Facts with their English words, joined as the build joins them. */
function worded(facts: Entry[], words: Record<string, object & { answers?: never }>): object[] {
  return facts.map((f) => {
    const w = words[f.id ?? f.to ?? f.kind ?? f.end ?? ""];
    return { ...f, ...w, ...(f.answers && { answers: worded(f.answers, w?.answers ?? {}) }) };
  });
}

/** The project's own key, with kinds of the names it uses. */
function ownKey(filled: Record<string, number> = {}): IdentificationKey {
  const data = join(import.meta.dirname, "../../../internal/book/data/looks");
  const file = (name: string) => JSON.parse(readFileSync(join(data, name), "utf8"));
  const [key, words] = [file("key.json"), file("key.en.json")];
  const read = readKey({
    start: key.start,
    questions: worded(key.questions, words.questions),
    ends: worded(key.ends, words.ends),
    kinds: worded(file("kinds.json").kinds, file("kinds.en.json").kinds),
    filled,
  });
  if (!read) throw new Error("the key can't be read");
  return read;
}

describe("the identification key", () => {
  it("is begun at any question by the answers that lead there", () => {
    const key = ownKey();
    for (const id of key.questions.keys()) {
      const stand = standOf(key, stepsTo(key, id));
      expect(stand?.at === "question" && stand.question.id).toBe(id);
    }
    expect(stepsTo(key, "double").length).toBe(1);
    expect(stepsTo(key, "no question")).toEqual([]);
  });

  it("can be walked to an end by every answer", () => {
    const key = ownKey();
    const kinds = new Set<string>();
    const go = (steps: Step[]) => {
      const stand = standOf(key, steps);
      expect(stand, JSON.stringify(steps.at(-1))).not.toBeNull();
      if (stand?.at === "kind") kinds.add(stand.kind.id);
      if (stand?.at !== "question" || steps.length > 12) return;
      stand.question.answers.forEach((_, n) => {
        go(walk(key, steps, n));
      });
    };
    go([]);
    expect(kinds.size).toBe(key.kinds.size);
  });

  const small = (filled: Record<string, number>) =>
    readKey({
      start: "a",
      questions: [
        { id: "a", ask: "A?", answers: [{ say: "b", to: "b" }] },
        {
          id: "b",
          ask: "B?",
          answers: [
            { say: "kind", kind: "k" },
            { say: "end", end: "e" },
          ],
        },
      ],
      kinds: [{ id: "k", name: "K", look_alike: true }],
      ends: [{ id: "e", text: "E", photograph: ["both faces"] }],
      filled,
    });

  it("takes the answers that the weighing has given, but never the first", () => {
    const key = small({ a: 0, b: 1 });
    if (!key) throw new Error("unread");
    expect(standOf(key, [])).toMatchObject({ at: "question", question: { id: "a" } });
    const steps = walk(key, [], 0);
    expect(steps).toEqual([
      { question: "a", answer: 0, byScale: false },
      { question: "b", answer: 1, byScale: true },
    ]);
    expect(standOf(key, steps)).toMatchObject({ at: "end", end: { photograph: ["both faces"] } });
    // A step back leaves the question to the person.
    expect(standOf(key, steps.slice(0, -1))).toMatchObject({ at: "question", question: { id: "b" } });
  });

  it("drops what another weight no longer says, and what followed from it", () => {
    const [said, silent] = [small({ b: 1 }), small({})];
    if (!said || !silent) throw new Error("unread");
    const steps = walk(said, [], 0);
    expect(stillSaid(said, steps)).toEqual(steps);
    expect(stillSaid(silent, steps)).toEqual(steps.slice(0, 1));
  });

  it("ignores a filled answer that the question doesn't have, and an answer past the end", () => {
    const key = small({ b: 7 });
    if (!key) throw new Error("unread");
    const steps = walk(key, walk(key, [], 0), 0);
    expect(standOf(key, steps)).toMatchObject({ at: "kind", kind: { lookAlike: true } });
    expect(walk(key, steps, 0)).toEqual(steps);
  });

  it("isn't shown when its start is missing", () => {
    expect(readKey({ start: "x", questions: [] })).toBeNull();
    expect(readKey(null)).toBeNull();
  });
});
