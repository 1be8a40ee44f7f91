import { describe, expect, it } from "vitest";
import { Asking } from "./asking";
import type { Answer } from "./types";

/** A core whose answers the test gives in any order. */
function hand() {
  const waiting: ((a: Answer<unknown>) => void)[] = [];
  const asking = new Asking({ call: () => new Promise((resolve) => waiting.push(resolve)) }, "coins", (x) =>
    typeof x === "number" ? x : null,
  );
  return { asking, answer: (n: number, a: Answer<unknown>) => waiting[n]?.(a) };
}

describe("asking the core", () => {
  it("shows the newest question's answer, also when an older one comes later", async () => {
    const { asking, answer } = hand();
    const both = [asking.ask("a"), asking.ask("b")];
    expect(asking.view.value).toEqual({ is: "asking" });
    answer(1, { ok: 2 });
    answer(0, { ok: 1 });
    await Promise.all(both);
    expect(asking.view.value).toEqual({ is: "answer", value: 2 });
  });

  it("asks again what is shown, for a core that speaks another language, and nothing after it was cleared", async () => {
    const { asking, answer } = hand();
    const asked = asking.ask("a");
    answer(0, { ok: 1 });
    await asked;
    asking.again();
    expect(asking.view.value).toEqual({ is: "answer", value: 1 });
    answer(1, { ok: 2 });
    await new Promise((done) => setTimeout(done));
    expect(asking.view.value).toEqual({ is: "answer", value: 2 });
    asking.clear();
    asking.again();
    expect(asking.view.value).toEqual({ is: "idle" });
  });

  it("shows the core's own words for a fault", async () => {
    const { asking, answer } = hand();
    const asked = asking.ask("a");
    const error = { code: "bad-number", sentence: "No.", field: "wet_g" };
    answer(0, { error });
    await asked;
    expect(asking.view.value).toEqual({ is: "failed", fault: error });
  });

  it("doesn't show an answer it can't read, nor one that came after clearing", async () => {
    const { asking, answer } = hand();
    let asked = asking.ask("a");
    answer(0, { ok: "?" });
    await asked;
    expect(asking.view.value.is).toBe("failed");
    asked = asking.ask("b");
    asking.clear();
    answer(1, { ok: 3 });
    await asked;
    expect(asking.view.value).toEqual({ is: "idle" });
  });

  it("says what is missing without asking", () => {
    const { asking } = hand();
    asking.refuse("dry_g", "Empty.");
    expect(asking.view.value).toEqual({
      is: "failed",
      fault: { code: "bad-input", sentence: "Empty.", field: "dry_g" },
    });
  });
});
