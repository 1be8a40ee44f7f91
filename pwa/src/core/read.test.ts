import { describe, expect, it } from "vitest";
import { readAnswer, readCountries, readSheet, readVerdict } from "./read";

const least = { call: "ordinary", headline: "Bronze cent, 95 % copper." };

describe("readVerdict", () => {
  it("needs a call it knows and a headline", () => {
    expect(readVerdict(least)).toMatchObject(least);
    expect(readVerdict({ ...least, call: "wonderful" })).toBeNull();
    expect(readVerdict({ call: "ordinary" })).toBeNull();
    expect(readVerdict(null)).toBeNull();
  });

  it("reads what is wanted of it, and what could be", () => {
    const v = readVerdict({
      call: "keeper",
      headline: "Bronze cent.",
      wanted: [{ id: "bronze-cents", name: "bronze cents" }, { name: "nameless" }],
      could_keep: [{ id: "wheat-ears" }],
      tally: { name: "bronze", keeper: true },
    });
    expect(v).toMatchObject({
      call: "keeper",
      wanted: [{ id: "bronze-cents", name: "bronze cents" }],
      could_keep: [{ id: "wheat-ears", name: "wheat-ears" }],
    });
    expect(v?.tally.keeper).toBe(true);
  });

  it("reads the open question, what was answered, and a test's answers", () => {
    const choices = [
      { id: "small", name: "Small date" },
      { id: "large", name: "Large date" },
    ];
    const q = { id: "us-cent-1982-date", sentence: "Which is it?", choices };
    const v = readVerdict({
      ...least,
      question: q,
      answered: [{ ...q, choice: "large" }, q],
      next_test: {
        test: "magnet",
        sentence: "Hold a magnet to it.",
        evidence: "magnetic",
        choices: [{ value: "yes", name: "Drawn" }, { value: true, name: "Strongly" }, {}],
      },
      inspect: { hint: "regular", alloy: "bronze" },
    });
    expect(v?.question).toEqual(q);
    expect(v?.answered).toEqual([{ ...q, choice: "large" }]);
    expect(v?.next_test).toMatchObject({
      evidence: "magnetic",
      choices: [
        { value: "yes", name: "Drawn" },
        { value: "true", name: "Strongly" },
      ],
    });
    expect(v?.inspect).toEqual({ hint: "regular", alloy: "bronze" });
    expect(readVerdict({ ...least, question: { ...q, choices: choices.slice(1) } })?.question).toBeNull();
    expect(readVerdict(least)).toMatchObject({
      wanted: [],
      could_keep: [],
      question: null,
      answered: [],
      inspect: null,
    });
  });

  it("speaks the headline when there are no other words for the ear", () => {
    expect(readVerdict(least)?.spoken).toBe(least.headline);
  });

  it("keeps what the contract promises", () => {
    const v = readVerdict({
      ...least,
      decisive: true,
      alloys: [
        {
          name: "bronze",
          fractions: { Cu: 0.95, Zn: 0.05 },
          probability: 0.99,
          years: ["1864–1942", "1944–1982"],
        },
      ],
      tolerance: {
        state: "within",
        nominal_g: 3.11,
        limit_g: 0.13,
        conformity: 0.99,
        u_g: 0.01,
        scope: "piece",
      },
      explanations: [{ kind: "wear", name: "wear", expected_g: 3.05, likelihood_ratio: 12, confirm: "look" }],
      next_test: { test: "magnet", sentence: "Hold a weak magnet to it.", caution: "Pacemakers." },
      other_tests: [{ test: "edge", sentence: "Look at the edge.", caution: "" }, { test: "odd" }],
      hint: "regular",
      tally: { name: "Bronze", aside: false, noted: true, current: true },
    });
    expect(v?.tally).toEqual({
      name: "Bronze",
      aside: false,
      noted: true,
      current: true,
      again: false,
      keeper: false,
    });
    expect(v?.alloys[0]).toMatchObject({
      name: "bronze",
      probability: 0.99,
      fractions: { Cu: 0.95, Zn: 0.05 },
    });
    expect(v?.tolerance).toMatchObject({ state: "within", nominal_g: 3.11, limit_g: 0.13 });
    expect(v?.explanations[0]).toMatchObject({ kind: "wear", likelihood_ratio: 12 });
    expect(v?.alloys[0]?.years).toBe("1864–1942, 1944–1982");
    expect(v?.next_test).toEqual({
      test: "magnet",
      sentence: "Hold a weak magnet to it.",
      do: "Hold a weak magnet to it.",
      tells: "",
      caution: "Pacemakers.",
      evidence: "",
      choices: [],
    });
    expect(v?.other_tests).toMatchObject([{ test: "edge", sentence: "Look at the edge.", caution: "" }]);
    expect(v).toMatchObject({ decisive: true, hint: "regular" });
  });

  it("lays aside what isn't ordinary where an older core doesn't say how to count", () => {
    const aside = (call: string) => readVerdict({ ...least, call })?.tally.aside;
    expect(["ordinary", "cannot-tell", "either", "look"].map(aside)).toEqual([false, false, true, true]);
  });

  it("makes no number of what isn't one", () => {
    const t = readVerdict({
      ...least,
      tolerance: { state: "unpublished", nominal_g: "3.11", limit_g: null },
    })?.tolerance;
    expect(t).toMatchObject({ state: "unpublished", nominal_g: null, limit_g: null });
  });
});

describe("readAnswer", () => {
  it("tells an answer from a fault", () => {
    expect(readAnswer('{"ok":{"a":1}}')).toEqual({ ok: { a: 1 } });
    expect(readAnswer('{"error":{"code":"bad-input","sentence":"No."}}')).toEqual({
      error: { code: "bad-input", sentence: "No." },
    });
    expect(readAnswer("not json")).toMatchObject({ error: { code: "internal" } });
    expect(readAnswer("{}")).toMatchObject({ error: { code: "internal" } });
  });
});

describe("readSheet and readCountries", () => {
  it("keep the core's order", () => {
    const sheet = readSheet({ look: [{ kind: "b" }, { kind: "a" }], cautions: [{ id: "c", text: "Care." }] });
    expect(sheet.look.map((l) => l.kind)).toEqual(["b", "a"]);
    expect(sheet.cautions[0]?.text).toBe("Care.");
    const [us] = readCountries({
      countries: [
        {
          id: "US",
          denominations: [
            { id: "cent", dates: [{ first: 1909, last: 1982, marks: ["-", "D"] }, { first: 1983 }] },
            { name: "no id" },
            { id: "dime" },
          ],
        },
      ],
    });
    expect(us?.denominations.map((d) => d.id)).toEqual(["cent", "dime"]);
    expect(us?.denominations[0]?.spans).toEqual([{ first: 1909, last: 1982, marks: ["-", "D"] }]);
  });

  it("are empty for anything else", () => {
    expect(readSheet(undefined)).toEqual({ look: [], cautions: [] });
    expect(readCountries([])).toEqual([]);
  });
});
