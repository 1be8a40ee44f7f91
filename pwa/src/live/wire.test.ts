import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { parseServerMessage } from "./wire";

const folder = join(import.meta.dirname, "../../../testdata/wire");
const good = readFileSync(join(folder, "weight.json"), "utf8");

/** The good message with some fields changed. */
const withFields = (change: object) => JSON.stringify({ ...JSON.parse(good), ...change });

describe("parseServerMessage", () => {
  it.each(readdirSync(folder).filter((n) => n.endsWith(".json")))("reads testdata/wire/%s whole", (name) => {
    const raw = readFileSync(join(folder, name), "utf8");
    expect(parseServerMessage(raw)).toEqual(JSON.parse(raw));
  });

  it("reads a goodbye", () => {
    const bye = { type: "bye", code: "stopping", sentence: "The laptop is stopping." };
    expect(parseServerMessage(JSON.stringify(bye))).toEqual(bye);
  });

  it.each([
    ["no JSON", "3.11 g"],
    ["no text", new ArrayBuffer(4)],
    ["an array", "[]"],
    ["null", "null"],
    ["another version", withFields({ v: 2 })],
    ["an unknown type", withFields({ type: "count" })],
    ["an unknown phase", withFields({ phase: "floating" })],
    ["a mean in words", withFields({ mean_g: "3.11" })],
    ["no mean at all", withFields({ mean_g: undefined })],
    ["a shown number that isn't text", withFields({ shown: 3.11 })],
    ["a sequence number that isn't whole", withFields({ seq: 1.5 })],
    ["an age before its time", withFields({ age_ms: -1 })],
    ["no age", withFields({ age_ms: null })],
    ["a problem without a sentence", withFields({ problem: { code: "port-lost" } })],
    ["a notice without a cursor", JSON.stringify({ type: "notice", v: 1 })],
    ["a pan of which nothing is said", JSON.stringify({ type: "pan", v: 1 })],
    ["a holder without a name", JSON.stringify({ type: "pan", v: 1, holder: { id: "a" }, asks: null })],
    ["a goodbye without a sentence", JSON.stringify({ type: "bye", code: "stopping" })],
  ])("shows nothing of %s", (_, frame) => {
    expect(parseServerMessage(frame)).toBeNull();
  });

  it.each([
    ["no object", []],
    ["no denomination", { country: "US", denomination: "", year: 0, mint: "" }],
    ["a year in words", { country: "US", denomination: "cent", year: "1964", mint: "" }],
    ["a year of five figures", { country: "US", denomination: "cent", year: 19640, mint: "" }],
  ])("follows no question with %s", (_, asks) => {
    const m = parseServerMessage(JSON.stringify({ type: "pan", v: 1, holder: null, asks }));
    expect(m).toEqual({ type: "pan", v: 1, holder: null, asks: null });
  });

  it("takes of a holder's evidence what is words", () => {
    const asks = {
      country: "US",
      denomination: "cent",
      year: 0,
      mint: "",
      evidence: { magnetic: "yes", edge: 3 },
    };
    const m = parseServerMessage(JSON.stringify({ type: "pan", v: 1, holder: null, asks }));
    expect(m?.type === "pan" && m.asks?.evidence).toEqual({ magnetic: "yes" });
  });

  it.each([
    ["another thing", { of: "colour", digits: "3.11", units: ["g"] }],
    ["no digits", { of: "unit", units: ["g"] }],
    ["no answers", { of: "unit", digits: "3.11", units: [7] }],
    ["words", "unit"],
  ])("leaves a question about %s to the problem's sentence", (_, ask) => {
    const problem = { code: "unknown-unit", sentence: "Which unit?" };
    const m = parseServerMessage(withFields({ problem, ask }));
    expect(m?.type === "weight" && m.problem).toEqual(problem);
    expect(m).not.toHaveProperty("ask");
  });

  it.each([
    ["alone", { half: 0.01 }],
    ["in words", { half: "0.01", u_whole_g: 0.009 }],
    ["that isn't there", { u_whole_g: 0.009 }],
  ])("leaves out the chance of a half %s", (_, change) => {
    const m = parseServerMessage(withFields(change));
    expect(m).toEqual(JSON.parse(good));
  });

  it("takes a scale for unproven unless it is said to be measured", () => {
    const m = parseServerMessage(withFields({ scale: { name: "a", kind: "serial", format: null } }));
    expect(m?.type === "weight" && m.scale?.assumed).toBe(true);
  });
});
