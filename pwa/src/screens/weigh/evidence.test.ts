import { describe, expect, it } from "vitest";
import { en } from "../../text/en";
import { evidenceFields } from "../../weigh/evidence";
import { answersOf, evidenceTests, isEvidenceTest, tellings } from "../../weigh/evidence-tests";

describe("the tests at the table", () => {
  it.each(evidenceTests)("%s is told how to do", (t) => {
    const words = en.evidence.tests[t];
    expect(words.steps.length).toBeGreaterThan(0);
    const telling = tellings[t];
    if (telling.by === "answer") {
      expect(Object.keys(en.evidence.answers[telling.field])).toEqual([...answersOf[telling.field]]);
      expect(Object.keys(en.evidence.told[telling.field])).toEqual([...answersOf[telling.field]]);
    }
  });

  it("warn where something can be hurt", () => {
    for (const t of ["magnet", "diameter", "thickness", "density", "date"] as const) {
      expect(en.evidence.tests[t].caution, t).not.toBe("");
    }
    expect(en.evidence.tests.magnet.caution).toMatch(/pacemakers.*pinch.*swallow/i);
  });

  it("fill each field of the evidence by one test", () => {
    for (const f of evidenceFields) {
      const by = Object.values(tellings).filter((t) => t.by !== "date" && t.field === f);
      expect(by, f).toHaveLength(1);
    }
    expect(isEvidenceTest("acid")).toBe(false);
  });
});
