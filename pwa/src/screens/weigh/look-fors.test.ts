import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { drawings } from "./all-drawings";
import { calledIn, titled } from "./drawing";

const book = join(import.meta.dirname, "../../../../internal/book/data");

interface Fact {
  id: string;
  drawings?: string[];
}
interface Facts {
  types?: Fact[];
  dates?: Fact[];
}

const shown: [string, string[]][] = [];
for (const file of readdirSync(book, { recursive: true, encoding: "utf8" })) {
  if (!/^\w+\/[a-z-]+\.json$/.test(file)) continue;
  const { types, dates } = JSON.parse(readFileSync(join(book, file), "utf8")) as Facts;
  for (const f of [...(types ?? []), ...(dates ?? [])])
    if (f.drawings) shown.push([`${file} ${f.id}`, f.drawings]);
}

describe("the drawings that look-fors name", () => {
  test("there are some", () => expect(shown.length).toBeGreaterThan(20));

  test.each(shown)("%s", (_, names) => {
    expect(names.length).toBeGreaterThan(0);
    expect(new Set(names).size).toBe(names.length);
    for (const name of names) expect(drawings.has(name), name).toBe(true);
  });

  test("are called by what stands before the colon", () => {
    expect(calledIn(drawings.get("us-cent-am/close") ?? "")).toBe("Close AM");
    expect(calledIn(drawings.get("us-1981-s-mark/flat") ?? "")).toBe("Flat S");
    expect(calledIn(titled(drawings.get("us-cent-am/close") ?? "", "AM juntas: los pies"))).toBe("AM juntas");
    expect(titled("<svg><title>A coin</title></svg>", undefined)).toBe("<svg><title>A coin</title></svg>");
  });
});
