import { describe, expect, it, vi } from "vitest";
import type { Hunt } from "../../core/journal";
import { endFrom, endingNow } from "./two-going";

const begun = new Date(2026, 0, 2, 20, 15, 42).getTime();
const hunt = { begun } as Hunt;

describe("ends of a hunt", () => {
  it("isn’t before a begin by another phone’s clock", () => {
    vi.useFakeTimers({ now: begun - 3_600_000 });
    expect(endingNow(hunt)).toBe(begun);
    vi.setSystemTime(begun + 5);
    expect(endingNow(hunt)).toBe(begun + 5);
    vi.useRealTimers();
  });

  it("is the begin when entered to its minute, and else as entered", () => {
    const minute = new Date(2026, 0, 2, 20, 15).getTime();
    expect(endFrom(minute, hunt)).toBe(begun);
    expect(endFrom(minute - 60_000, hunt)).toBe(minute - 60_000);
    expect(endFrom(minute + 60_000, hunt)).toBe(minute + 60_000);
  });
});
