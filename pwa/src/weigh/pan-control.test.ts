import { beforeEach, describe, expect, it } from "vitest";
import type { Asks } from "../live/wire";
import { PanControl } from "./pan-control";

const cents: Asks = { country: "US", denomination: "cent", year: 0, mint: "" };
const dimes: Asks = { ...cents, denomination: "dime" };

let said: Record<string, unknown>[];
let line: boolean;
let panControl: PanControl;

const heard = (id: string | null, asks: Asks | null = cents) =>
  panControl.heard({
    type: "pan",
    v: 1,
    holder: id ? { id, name: `phone ${id}`, role: "phone" } : null,
    asks,
  });

beforeEach(() => {
  said = [];
  line = true;
  panControl = new PanControl({
    me: () => "me",
    say: (m) => {
      if (line) said.push(m as Record<string, unknown>);
      return line;
    },
  });
});

describe("PanControl", () => {
  it("is taken by the first tap, and only if it is free", () => {
    expect(panControl.tap(cents)).toBe(true);
    expect(said).toEqual([{ type: "pan", do: "take", if_free: true, asks: cents }]);
    heard("me");
    expect(panControl.state.value).toEqual({ is: "mine" });
    panControl.tap(cents);
    expect(said).toHaveLength(1);
  });

  it("says each new question of its holder once, and none of another's", () => {
    panControl.asks(cents);
    expect(said).toEqual([]);
    panControl.tap(cents);
    heard("me");
    panControl.asks(cents);
    panControl.asks(dimes);
    panControl.asks(dimes);
    expect(said.slice(1)).toEqual([{ type: "pan", do: "ask", asks: dimes }]);
    heard("b", dimes);
    panControl.asks(cents);
    expect(said).toHaveLength(2);
  });

  it("follows another's question, and lets no tap count meanwhile", () => {
    heard("b", dimes);
    expect(panControl.watching).toBe(true);
    expect(panControl.followed.value).toEqual(dimes);
    expect(panControl.tap(cents)).toBe(false);
    expect(panControl.news.value).toEqual({ is: "held", by: "phone b" });
    expect(said).toEqual([]);
  });

  it("is taken over by a tap, and both sides are told", () => {
    heard("b");
    expect(panControl.news.value).toBeNull();
    panControl.take(cents);
    expect(said).toEqual([{ type: "pan", do: "take", asks: cents }]);
    heard("me");
    expect(panControl.news.value).toEqual({ is: "mine", from: "phone b" });
    expect(panControl.followed.value).toBeNull();
    heard("c");
    expect(panControl.news.value).toEqual({ is: "lost", to: "phone c" });
    heard(null);
    expect(panControl.news.value).toEqual({ is: "free" });
  });

  it("is claimed again on a new line by who held it, and is free for who didn't", () => {
    panControl.tap(cents);
    heard("me");
    said = [];
    panControl.opened(dimes);
    expect(said).toEqual([{ type: "pan", do: "take", if_free: true, asks: dimes }]);
    expect(panControl.state.value.is).toBe("mine");
    heard("b");
    panControl.opened(cents);
    expect(panControl.state.value.is).toBe("free");
    expect(said).toHaveLength(1);
  });

  it("says a question again that no line carried", () => {
    heard("me");
    line = false;
    panControl.asks(cents);
    line = true;
    panControl.asks(cents);
    expect(said).toEqual([{ type: "pan", do: "ask", asks: cents }]);
  });
});
