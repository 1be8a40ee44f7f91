import type { EvidenceField } from "./evidence";

/** The tests a person can make at the table, by the core's names, in the order they are offered. */
export const evidenceTests = [
  "magnet",
  "edge",
  "stripe",
  "colour",
  "ring",
  "diameter",
  "thickness",
  "density",
  "design",
  "date",
  "mint",
] as const;
export type EvidenceTest = (typeof evidenceTests)[number];

/** What a test's result is told by: one of a few answers, a size, or another place of the app. */
export type Telling =
  | { by: "answer"; field: "magnetic" | "edge" | "stripe" | "colour" | "design" }
  | { by: "size"; field: "diameter_mm" | "thickness_mm" }
  | { by: "density"; field: "density" }
  | { by: "ring"; field: "ring" }
  | { by: "date" };

export const tellings: Record<EvidenceTest, Telling> = {
  magnet: { by: "answer", field: "magnetic" },
  edge: { by: "answer", field: "edge" },
  stripe: { by: "answer", field: "stripe" },
  colour: { by: "answer", field: "colour" },
  diameter: { by: "size", field: "diameter_mm" },
  thickness: { by: "size", field: "thickness_mm" },
  density: { by: "density", field: "density" },
  ring: { by: "ring", field: "ring" },
  design: { by: "answer", field: "design" },
  date: { by: "date" },
  mint: { by: "date" },
};

/** The answers of each field that has a few, in the core's words. */
export const answersOf = {
  magnetic: ["no", "weak", "yes"],
  edge: ["plain", "reeded", "lettered", "other"],
  stripe: ["yes", "no"],
  colour: ["red", "yellow", "white", "grey", "two-hue"],
  design: ["yes", "no"],
} as const;

/** The test that a field is the result of. */
export function testOf(field: EvidenceField): EvidenceTest {
  const found = evidenceTests.find((t) => {
    const telling = tellings[t];
    return telling.by !== "date" && telling.field === field;
  });
  return found ?? "design";
}

export const isEvidenceTest = (word: string): word is EvidenceTest => evidenceTests.some((t) => t === word);
