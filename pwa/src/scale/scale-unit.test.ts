import { describe, expect, it } from "vitest";
import { Refusal } from "../laptop/api";
import { sayUnit } from "./scale-unit";

const answer = { scale: "/dev/ttyUSB0", of: "unit", unit: "ct" } as const;

describe("sayUnit", () => {
  it("tells the laptop, of which scale and what", async () => {
    const sent: unknown[] = [];
    const api = {
      exchange: async (method: string, path: string, body?: unknown) => {
        sent.push(method, path, JSON.parse(String(body)));
        return new Response("{}");
      },
    };
    expect(await sayUnit(api, answer)).toBeNull();
    expect(sent).toEqual(["PUT", "/api/v1/scale/unit", answer]);
  });

  it.each([
    ["the laptop's sentence", new Refusal("bad-input", "Another scale."), "Another scale."],
    ["that nobody answers", new Refusal("unreachable", ""), "-"],
    ["that it failed", new Error("torn"), "-"],
  ])("gives %s", async (_, cause, want) => {
    const api = { exchange: () => Promise.reject(cause) };
    expect(await sayUnit(api, answer)).toBe(want);
  });
});
