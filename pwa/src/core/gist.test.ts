import { describe, expect, it } from "vitest";
import { gistOf } from "./gist";

const date = {
  id: "us-cent-1982-date",
  sentence: "Which date is it?",
  choices: [
    { id: "small", name: "small date" },
    { id: "large", name: "large date" },
  ],
};

describe("gistOf", () => {
  it("has call, metal and what was answered", () => {
    const verdict = {
      call: "look",
      metal: { id: "bronze", name: "bronze" },
      answered: [{ ...date, choice: "small" }],
    };
    expect(gistOf(verdict)).toEqual({ call: "look", metal: "bronze", seen: ["small date"] });
  });

  it("names the alloy of an older verdict only where that was sure", () => {
    const alloys = [{ name: "bronze, 95 % copper" }, { name: "brass" }];
    expect(gistOf({ call: "ordinary", decisive: true, alloys })?.metal).toBe("bronze, 95 % copper");
    expect(gistOf({ call: "either", decisive: false, alloys })?.metal).toBeUndefined();
    expect(gistOf({ call: "either", metal: { id: "bronze", name: "bronze" } })?.metal).toBeUndefined();
  });

  it("says nothing of what isn't there, or is longer than can be kept", () => {
    expect(gistOf(undefined)).toBeNull();
    expect(gistOf({ headline: "Bronze" })).toBeNull();
    expect(
      gistOf({ call: "look", metal: { name: "x".repeat(61) }, answered: [{ ...date, choice: "none" }] }),
    ).toEqual({
      call: "look",
    });
  });
});
