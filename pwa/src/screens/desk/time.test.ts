import { describe, expect, it } from "vitest";
import { text } from "../../text";
import { agoText, clockText } from "./time";

describe("clockText", () => {
  it.each([
    [247, "4:07"],
    [60, "1:00"],
    [59.2, "1:00"],
    [0, "0:00"],
    [-5, "0:00"],
  ])("of %f s is %s", (s, shown) => {
    expect(clockText(s)).toBe(shown);
  });
});

describe("agoText", () => {
  const now = Date.parse("2026-03-01T20:00:00Z");
  it.each([
    ["2026-03-01T19:59:30Z", text.desk.justNow],
    ["2026-03-01T20:00:40Z", text.desk.justNow], // the laptop's clock is ahead
    ["2026-03-01T19:59:00Z", "1 minute ago"],
    ["2026-03-01T17:30:00Z", "2 hours ago"],
    ["2026-02-20T20:00:00Z", "9 days ago"],
    ["0001-01-01T00:00:00Z", text.desk.never],
    ["yesterday", text.desk.never],
    [null, text.desk.never],
  ])("of %s is %s", (then, words) => {
    expect(agoText(then, now)).toBe(words);
  });
});
