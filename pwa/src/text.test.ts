import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { certainties, fates, huntSources, lyingIn, photoSides } from "./core/journal";
import { calls, toleranceStates } from "./core/types";
import { handSides, languageChoices, themes } from "./device/prefs";
import { rates } from "./device/speech";
import { tones } from "./device/tones";
import { handsActs } from "./hands/hands";
import { says } from "./hands/hands-prefs";
import { deviceKinds } from "./laptop/invitation";
import { phases } from "./live/wire";
import { storeTroubles } from "./records/db";
import { photoTroubles } from "./records/photos";
import { edges } from "./scale/scale-record";
import { foundWords } from "./scale/scale-settings";
import { sorts } from "./screens/finds/search";
import { en } from "./text/en";
import { es } from "./text/es";
import { languages } from "./text/languages";
import { shortcutKeys } from "./view/keyboard";
import { offlineStates } from "./view/offline";
import { tools } from "./view/places";

type Tree = { [key: string]: unknown };
const isTree = (x: unknown): x is Tree => typeof x === "object" && x !== null;

/** Every leaf of a text with its path. */
function leaves(tree: Tree, path = ""): [string, unknown][] {
  return Object.entries(tree).flatMap(([k, v]) =>
    isTree(v) ? leaves(v, `${path}${k}.`) : [[`${path}${k}`, v] as [string, unknown]],
  );
}

describe("texts", () => {
  it.each(Object.entries({ en, es }))("%s says everything English says, and nothing is empty", (_, text) => {
    const shape = ({ drawings: _, ...t }: Tree) =>
      leaves(t)
        .map(([path, v]) => `${path}: ${typeof v}`)
        .sort();
    expect(shape(text as unknown as Tree)).toEqual(shape(en as unknown as Tree));
    for (const [path, v] of leaves(text as unknown as Tree)) {
      if (typeof v === "string") expect(v.trim(), path).not.toBe("");
    }
  });

  it.each<[string, Tree, readonly string[]]>([
    ["phase", en.phase, phases],
    ["call", en.call, calls],
    ["tolerance", en.tolerance, toleranceStates],
    ["theme", en.settings.themes, themes],
    ["state without the laptop", en.offline.states, offlineStates],
    ["device kind", en.deviceNames, deviceKinds],
    ["tool", en.tools, ["eye", "scale", "magnet", "calipers", "loupe", "microscope"]],
    ["grade", en.grades, ["P", "S", "C", "common practice", "from memory"]],
    ["name of a tool", en.toolbox.names, tools],
    ["hint of a tool", en.toolbox.hints, tools],
    ["finding at a port", en.scaleSettings.foundThere, foundWords],
    ["side of a pan", en.scale.sides, edges],
    ["shortcut", en.shortcuts.rows, Object.keys(shortcutKeys)],
    ["side of a photo", en.finds.sides, photoSides],
    ["place to lie in", en.finds.lyings, lyingIn],
    ["certainty", en.finds.certainties, certainties],
    ["fate", en.finds.fates, fates],
    ["caution of a fate", en.finds.fateCautions, fates],
    ["source of a hunt", en.hunts.sources, huntSources],
    ["place of a source", en.hunts.places, huntSources],
    ["counted call", en.hunts.calls, calls],
    ["way to sort", en.finds.sorts, sorts],
    ["trouble of the storage", en.finds.store, storeTroubles],
    ["trouble with a photo", en.finds.photoTrouble, photoTroubles],
    ["hands-free key", en.hands.keys.rows, handsActs],
    ["way of saying", en.handsOptions.says, says],
    ["pace", en.handsOptions.rates, rates.map(String)],
    ["tone", en.handsOptions.toneNames, tones],
    ["hand", en.layout.hands, handSides],
    ["line", en.line, ["off", "connecting", "open", "waiting"]],
    [
      "join fault",
      en.join,
      ["expired", "tooMany", "slow", "left", "unreachable", "ended", "wrongServer", "failed"],
    ],
  ])("have a word for every %s", (_, words, needed) => {
    for (const n of needed) expect(words, n).toHaveProperty([n]);
  });

  it("don’t say of a look-alike that no mint made it: strike doubling happens at the mint", () => {
    expect(
      leaves(en as unknown as Tree).filter(([, v]) => typeof v === "string" && /no mint made/i.test(v)),
    ).toEqual([]);
  });

  it("say in Spanish what each drawing shows", () => {
    const drawn = readdirSync(join(import.meta.dirname, "drawings"), { recursive: true, encoding: "utf8" });
    const names = drawn.filter((n) => n.endsWith(".svg")).map((n) => n.slice(0, -".svg".length));
    expect(Object.keys(es.drawings).sort()).toEqual(names.sort());
  });

  it("can be chosen in every language that there is", () => {
    expect(Object.keys({ en, es })).toEqual([...languages]);
    expect(languageChoices).toEqual(["auto", ...languages]);
  });
});

describe("screens", () => {
  const src = import.meta.dirname;
  const files = readdirSync(src, { recursive: true, encoding: "utf8" }).filter((n) => n.endsWith(".tsx"));

  it.each(files)("%s has no words of its own", (name) => {
    const source = readFileSync(join(src, name), "utf8");
    const spoken = [
      // Words between tags, and in attributes that are read out or shown.
      ...source.matchAll(/^\s*([A-Z][a-z]+(?: [a-z]+)+[.?!]?)\s*$/gm),
      ...source.matchAll(/>\s*([A-Za-z][a-z]+[^<>{}()=;]*)</g),
      ...source.matchAll(/(?:aria-label|title|alt|placeholder)="([^"]+)"/g),
    ].map((m) => m[1]);
    expect(spoken).toEqual([]);
  });

  it("are found at all", () => {
    expect(files.length).toBeGreaterThan(10);
  });
});
