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
    ["a goodbye without a sentence", JSON.stringify({ type: "bye", code: "stopping" })],
  ])("shows nothing of %s", (_, frame) => {
    expect(parseServerMessage(frame)).toBeNull();
  });

  it("takes a scale for unproven unless it is said to be measured", () => {
    const m = parseServerMessage(withFields({ scale: { name: "a", kind: "serial", dialect: null } }));
    expect(m?.type === "weight" && m.scale?.assumed).toBe(true);
  });
});
