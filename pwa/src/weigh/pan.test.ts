import { beforeEach, describe, expect, it } from "vitest";
import type { Asks } from "../live/wire";
import { Pan } from "./pan";

const cents: Asks = { country: "US", denomination: "cent", year: 0, mint: "" };
const dimes: Asks = { ...cents, denomination: "dime" };

let said: Record<string, unknown>[];
let line: boolean;
let pan: Pan;

const heard = (id: string | null, asks: Asks | null = cents) =>
  pan.heard({ type: "pan", v: 1, holder: id ? { id, name: `phone ${id}`, role: "phone" } : null, asks });

beforeEach(() => {
  said = [];
  line = true;
  pan = new Pan({
    me: () => "me",
    say: (m) => {
      if (line) said.push(m as Record<string, unknown>);
      return line;
    },
  });
});

describe("Pan", () => {
  it("is taken by the first tap, and only if it is free", () => {
    expect(pan.tap(cents)).toBe(true);
    expect(said).toEqual([{ type: "pan", do: "take", if_free: true, asks: cents }]);
    heard("me");
    expect(pan.state.value).toEqual({ is: "mine" });
    pan.tap(cents);
    expect(said).toHaveLength(1);
  });

  it("says each new question of its holder once, and none of another's", () => {
    pan.asks(cents);
    expect(said).toEqual([]);
    pan.tap(cents);
    heard("me");
    pan.asks(cents);
    pan.asks(dimes);
    pan.asks(dimes);
    expect(said.slice(1)).toEqual([{ type: "pan", do: "ask", asks: dimes }]);
    heard("b", dimes);
    pan.asks(cents);
    expect(said).toHaveLength(2);
  });

  it("follows another's question, and lets no tap count meanwhile", () => {
    heard("b", dimes);
    expect(pan.watching).toBe(true);
    expect(pan.followed.value).toEqual(dimes);
    expect(pan.tap(cents)).toBe(false);
    expect(pan.news.value).toEqual({ is: "held", by: "phone b" });
    expect(said).toEqual([]);
  });

  it("is taken over by a tap, and both sides are told", () => {
    heard("b");
    expect(pan.news.value).toBeNull();
    pan.take(cents);
    expect(said).toEqual([{ type: "pan", do: "take", asks: cents }]);
    heard("me");
    expect(pan.news.value).toEqual({ is: "mine", from: "phone b" });
    expect(pan.followed.value).toBeNull();
    heard("c");
    expect(pan.news.value).toEqual({ is: "lost", to: "phone c" });
    heard(null);
    expect(pan.news.value).toEqual({ is: "free" });
  });

  it("is claimed again on a new line by who held it, and is free for who didn't", () => {
    pan.tap(cents);
    heard("me");
    said = [];
    pan.opened(dimes);
    expect(said).toEqual([{ type: "pan", do: "take", if_free: true, asks: dimes }]);
    expect(pan.state.value.is).toBe("mine");
    heard("b");
    pan.opened(cents);
    expect(pan.state.value.is).toBe("free");
    expect(said).toHaveLength(1);
  });

  it("says a question again that no line carried", () => {
    heard("me");
    line = false;
    pan.asks(cents);
    line = true;
    pan.asks(cents);
    expect(said).toEqual([{ type: "pan", do: "ask", asks: cents }]);
  });
});
