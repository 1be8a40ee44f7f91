import { describe, expect, it } from "vitest";
import type { Support } from "../../core/types";
import { massText, meanText, stepText, uncertaintyText } from "./figures";
import { supportWords } from "./ratio";

describe("figures", () => {
  it.each([
    [0.1, "0.1"],
    [0.01, "0.01"],
    [0.001, "0.001"],
    [0.02, "0.02"],
    [0.005, "0.005"],
    [1, "1"],
    [0.0648, "0.0648"],
  ])("a step of %f is shown as %s", (d, shown) => {
    expect(stepText(d)).toBe(shown);
  });

  it.each([
    [3.11, "3.11"],
    [2.268, "2.268"],
    [5, "5.00"],
    [11.34, "11.34"],
    [2.9800000000000004, "2.98"],
    [3.11035, "3.11"],
  ])("a mass of %f is shown as %s", (g, shown) => {
    expect(massText(g)).toBe(shown);
  });

  it.each([
    [0.0152, "0.015"],
    [0.0076, "0.0076"],
    [0.128, "0.13"],
    [0.6, "0.60"],
    [1.26, "1.3"],
    [12.6, "13"],
    [0, "0"],
  ])("an uncertainty of %f is shown as %s", (u, shown) => {
    expect(uncertaintyText(u)).toBe(shown);
  });

  it("a mean has as many decimals as its uncertainty", () => {
    expect(meanText(3.1102, 0.0152)).toBe("3.110");
    expect(meanText(3.0, 0.13)).toBe("3.00");
  });
});

describe("how strongly an explanation is spoken for", () => {
  const of = (likelihood_ratio: number | null, support: Support | null) =>
    supportWords({
      kind: "wear",
      name: "wear",
      expected_g: null,
      expert: false,
      confirm: "",
      speaks: false,
      likelihood_ratio,
      support,
    });

  it.each<[number, Support, string]>([
    [412, "moderately-strong", "400 times likelier than ordinary wear or damage (moderately strong support)"],
    [3.14, "weak", "3.1 times likelier than ordinary wear or damage (weak support)"],
    [5e7, "very-strong", "over a million times likelier than ordinary wear or damage (very strong support)"],
    [1.2, "equal", "about as likely as ordinary wear or damage"],
    [0.2, "less", "5 times less likely than ordinary wear or damage"],
  ])("%f, %s", (ratio, support, words) => {
    expect(of(ratio, support)).toBe(words);
  });

  it("says nothing where the core says nothing", () => {
    expect(of(412, null)).toBe("");
    expect(of(null, "weak")).toBe("");
  });
});
