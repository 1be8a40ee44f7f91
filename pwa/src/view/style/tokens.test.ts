import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";

const css = readFileSync(join(import.meta.dirname, "tokens.css"), "utf8");

/** The named colours of one theme. */
function colours(theme: "by-night" | "by-day"): Map<string, string> {
  const found = css.matchAll(/--([\w-]+): var\(--by-night, (#\w{6})\) var\(--by-day, (#\w{6})\);/g);
  return new Map(
    [...found].map(([, name = "", night = "", day = ""]) => [name, theme === "by-night" ? night : day]),
  );
}

/** Relative luminance and contrast as WCAG 2.2 defines them. */
function luminance(colour: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(colour.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

describe.each(["by-night", "by-day"] as const)("colours %s", (theme) => {
  const all = colours(theme);
  const of = (name: string) => all.get(name) ?? "";
  const grounds = ["ground", "card", "raised"];

  it.each([
    ["ink", 4.5],
    ["quiet", 4.5],
    ["brass", 4.5],
    ["verdigris", 4.5],
    ["oxide", 4.5],
    ["slate", 4.5],
    ["edge", 3],
    ["line", 1.5],
  ])("%s stands out %f to 1 from every ground", (name, least) => {
    for (const g of grounds)
      expect(contrast(of(name), of(g)), `${name} on ${g}`).toBeGreaterThanOrEqual(least);
  });

  it("can be read on brass", () => {
    expect(contrast(of("on-brass"), of("brass"))).toBeGreaterThanOrEqual(4.5);
  });
});

it("no colour stands twice, nor outside this file's list", () => {
  expect(css.match(/#\w{3,8}\b/g)?.length).toBe(2 * colours("by-night").size);
});
