import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import { en } from "./en";
import { es } from "./es";
import { locale } from "./writing";

/** Words that no Spanish sentence has. */
const english =
  /\b(the|and|of|with|your|this|that|are|not|from|coins?|weight|weigh|scale|finds?|hunts?|keep|keepers?|phone|again|what|which|or|by|date|year|mint|look|closer)\b/i;

/** Words that lost their accent or their tilde. */
const bare =
  /\b(bascula|tambien|aqui|ahi|asi|aun no|todavia|numero|codigo|direccion|conexion|aleacion|denominacion|busquedas?|pagina|telefonos?|iman|dolar|linea|ultim[ao]|pequen[ao]|ano|espanol|estan|esta en|camara|que tan seguro es|cuanto vale\?|facil|album|laton)\b/i;

/** Other Spanish than the one spoken here: tú, of the Americas. */
const elsewhere =
  /\b(usted(es)?|vosotros|vuestr[ao]s?|móvil|ordenador|portátil|coge[rs]?|pulsa|tenés|podés|balanza)\b/i;

/** What a Spanish reader stumbles over; empty if nothing. */
function stumble(words: string): string {
  for (const rule of [english, bare, elsewhere, /["']/, /\p{L}'\p{L}/u, /\.\.\./, / {2}/, / [,.;:?!]/]) {
    const found = rule.exec(words);
    if (found && !(found[0] === " ." && / \.\d/.test(words))) return found[0];
  }
  const count = (sign: string) => words.split(sign).length;
  if (count("?") !== count("¿")) return "¿?";
  if (count("!") !== count("¡")) return "¡!";
  if (count("“") !== count("”")) return "“”";
  return "";
}

/** The same in both languages, and rightly so. */
const alike =
  /^(—|Panside|iPhone|iPad|Mac|0|normal|[Pp]edal|Laptop|[Cc]olor|Metal|U \(k = 2\), g|pennyweight|zinc|kHz)$/;

type Tree = { [key: string]: unknown };
function leaves(tree: Tree, path = ""): [string, unknown][] {
  return Object.entries(tree).flatMap(([k, v]) =>
    typeof v === "object" && v !== null
      ? leaves(v as Tree, `${path}${k}.`)
      : [[path + k, v] as [string, unknown]],
  );
}
const english_ = new Map(leaves(en as unknown as Tree));
const spanish = leaves(es as unknown as Tree);

/** Commands and parts of a pattern, which are typed as they are. */
const verbatim = /^(scaleSettings\.(patternParts|otherPortHint)|keepList\.(datesHint|badDate))/;

// A number that may stand where the digits of one are wanted.
const either = (n: number) => Object.assign(new Number(n), { replace: () => String(n) });

/** What the texts are tried with: words, numbers, or what they take beside these. */
const plain: unknown[][] = [["§a", "§b", "§c", "§d"], [7, 8, 9, 6].map(either)];
const odd: Record<string, unknown[][]> = {
  "finds.onlyHere": [[{ finds: 7, hunts: 8, others: 9, photos: 6 }, true]],
  "finds.conflictsHere": [
    [7, "find"],
    [7, "hunt"],
  ],
  "finds.overlookedHere": [
    [7, "find"],
    [7, "hunt"],
  ],
  "finds.deletedUnseen": [["§a", ["§b", "§c"], "§d"]],
  "finds.deletedAndChanged": [["§a", ["§b"], "§d"]],
  "explanations.likelier": [[7]],
  "explanations.lessLikely": [[7]],
  "ring.lies": [["§a", [7000, 8000]]],
  "ring.heard": [[[7000, 8000]]],
  "ring.told": [[7000]],
  "ring.answers.several-fit": [[["§a", "§b"]]],
  "scale.signed": [["-7"], ["8"]],
  "dateEntry.run": [["1959", "1982"]],
  "hands.toLookAt": [[[7, 8]]],
  "hands.said.summary": [[{ coins: 7, minutes: 8, keepers: 9, aside: [6] }]],
  "tolerance.picture": [[{ weight: "§a", u: "§b", nominal: "§c", low: "§d", high: "§e" }]],
  "tolerance.pictureNoLimit": [[{ weight: "§a", u: "§b", nominal: "§c" }]],
  "identify.date": [["§a", ["§b", "-"]]],
  "wanted.sentence.here": [[7, new Set(["damaged"]), true]],
  "wanted.sentence.asked": [[7, new Set(["gone"])]],
  "wanted.sentence.nobody": [[7, new Set(["gone", "absent"])]],
  "wanted.waitingFor": [[["§a", "§b"]]],
};

/** A text's words for each of these. */
const said = (path: string, f: (...a: never[]) => unknown): string[] =>
  (odd[path] ?? plain).map((args) => String(f(...(args as never[]))));

const marks = (words: string): string => [...new Set(words.match(/§\w|\d+/g) ?? [])].sort().join();

afterEach(() => {
  locale.value = "en";
});

describe("the app’s Spanish", () => {
  it.each([
    ["Pon the moneda.", "the"],
    ["La bascula.", "bascula"],
    ["Ponga usted.", "usted"],
    ["Qué moneda es?", "¿?"],
    ["¿Qué moneda es?", ""],
    ['"Guardar"', '"'],
    ["“Guardar", "“”"],
    ["Mira ...", "..."],
    ["La báscula está aquí.", ""],
  ])("finds what isn’t: %s", (words, found) => {
    expect(stumble(words)).toBe(found);
  });

  it.each(spanish)("%s", (path, v) => {
    if (verbatim.test(path)) return;
    const texts = typeof v === "function" ? said(path, v as never) : [String(v)];
    for (const words of texts) expect(stumble(words.replace(/§\w|undefined|NaN/g, "X")), words).toBe("");
  });

  it.each(readdirSync(import.meta.dirname).filter((f) => /^es.*\.ts$/.test(f)))(
    "%s writes no decimals past the language's sign, nor per cent",
    (name) => {
      const source = readFileSync(join(import.meta.dirname, name), "utf8");
      const bare = [...source.matchAll(/.*\d\.\d.*|.*\d(?: |\u00a0|\\u00a0)?%.*/g)].map((m) => m[0].trim());
      // What is compared, a port's address, and the paces by their names in the browser.
      const rightly = /figure\(|[<>] 0\.\d|192\.168|"0\.8"/;
      expect(bare.filter((line) => !rightly.test(line))).toEqual([]);
    },
  );

  it("says nothing in English", () => {
    const same = spanish.filter(
      ([path, v]) =>
        typeof v === "string" && english_.get(path) === v && !alike.test(v) && !verbatim.test(path),
    );
    expect(same.map(([path, v]) => `${path}: ${v}`)).toEqual([]);
  });

  it("leaves no argument out", () => {
    for (const [path, v] of spanish) {
      if (typeof v !== "function") continue;
      const theirs = said(path, english_.get(path) as never).map(marks);
      const ours = said(path, v as never);
      for (const [i, words] of ours.entries()) {
        if (words.includes("NaN")) continue; // it counts, and was given words
        expect(marks(words), `${path}, try ${i}: ${words}`).toBe(theirs[i]);
      }
    }
  });

  it("writes a number as its place does", () => {
    locale.value = "es-ES";
    expect(es.weight.asGrams("3.11")).toBe("3,11\u00a0g");
    expect(es.evidence.badNumber).toContain("19,05");
    expect(es.percent(0.95)).toBe("95\u00a0%");
    locale.value = "es-MX";
    expect(es.weight.asGrams("3.11")).toBe("3.11\u00a0g");
    expect(es.finds.onlyHere({ finds: 1, hunts: 2, others: 0, photos: 3 }, false)).toBe(
      "1 hallazgo, 2 búsquedas y 3 fotos solo en este teléfono",
    );
  });
});
