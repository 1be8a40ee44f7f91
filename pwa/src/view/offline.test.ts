import { describe, expect, it, vi } from "vitest";
import { changeLimitMs, OfflineCopy, type Registered, type Workers } from "./offline";

class Browser implements Workers {
  controller: unknown = null;
  changes: (() => void)[] = [];
  found: (() => void)[] = [];
  steps: (() => void)[] = [];
  said: unknown[] = [];
  fails: Error | null = null;
  coming = {
    state: "installing",
    addEventListener: (_: "statechange", act: () => void) => void this.steps.push(act),
  };
  reg: Registered = {
    waiting: null,
    installing: null,
    active: null,
    addEventListener: (_, act) => void this.found.push(act),
    update: async () => {},
  };
  async register() {
    if (this.fails) throw this.fails;
    return this.reg;
  }
  addEventListener(_: "controllerchange", act: () => void) {
    this.changes.push(act);
  }
  step(state: string) {
    this.coming.state = state;
    for (const s of this.steps) s();
  }
  newer() {
    this.reg.installing = this.coming;
    for (const f of this.found) f();
    this.reg.waiting = { postMessage: (m) => void this.said.push(m) };
    this.step("installed");
  }
}

function open(b: Browser | null, secure = true) {
  let reloads = 0;
  const copy = new OfflineCopy(() => {
    reloads++;
  });
  return { copy, started: copy.start(b, secure), reloads: () => reloads };
}

const named = (name: string) => Object.assign(new Error("no"), { name });

describe("the copy on this device", () => {
  it("is ready once the first one is in place, without a question", async () => {
    const b = new Browser();
    b.reg.installing = b.coming;
    const { copy, started } = open(b);
    await started;
    b.step("installed");
    expect(copy.newer.value).toBe(false);
    expect(copy.state.value).toBe("waiting");
    b.step("activated");
    expect(copy.state.value).toBe("ready");
  });

  it("lets a newer one wait until the person agrees", async () => {
    const b = new Browser();
    b.controller = {};
    b.reg.active = {};
    const { copy, started, reloads } = open(b);
    await started;
    b.newer();
    expect(copy.newer.value).toBe(true);
    expect(b.said).toEqual([]);
    copy.agree();
    expect(b.said).toEqual([{ type: "SKIP_WAITING" }]);
    expect(reloads()).toBe(0);
    for (const c of b.changes) c();
    expect(reloads()).toBe(1);
  });

  it("keeps still while it changes, and goes on when that fails", async () => {
    vi.useFakeTimers();
    try {
      const b = new Browser();
      b.reg.active = {};
      const { copy, started, reloads } = open(b);
      await started;
      b.newer();
      let out = 0;
      const request = async () => ++out;
      await copy.pass(request);
      expect(out).toBe(1);
      copy.agree();
      expect(copy.change.value).toBe("changing");
      const held = copy.pass(request);
      await vi.advanceTimersByTimeAsync(changeLimitMs - 1);
      expect(out).toBe(1);
      copy.agree();
      expect(b.said.length).toBe(1);
      await vi.advanceTimersByTimeAsync(1);
      expect(await held).toBe(2);
      expect(copy.change.value).toBe("stuck");
      // The browser changes after all, under a coin perhaps: nothing moves until the person says so again.
      b.reg.waiting = null;
      for (const c of b.changes) c();
      expect(reloads()).toBe(0);
      copy.agree();
      expect(reloads()).toBe(1);
    } finally {
      vi.useRealTimers();
    }
  });

  it("stays as it is when another window agrees", async () => {
    const b = new Browser();
    b.controller = {};
    b.reg.active = {};
    const { copy, started, reloads } = open(b);
    await started;
    for (const c of b.changes) c();
    expect(reloads()).toBe(0);
    expect(copy.newer.value).toBe(true);
    copy.agree();
    expect(reloads()).toBe(1);
  });

  it("finds one that was waiting already", async () => {
    const b = new Browser();
    b.reg.active = {};
    b.reg.waiting = { postMessage() {} };
    const { copy, started } = open(b);
    await started;
    expect(copy.newer.value).toBe(true);
  });

  it.each([
    ["untrusted", new Browser(), true, named("SecurityError")],
    ["unable", new Browser(), true, named("TypeError")],
    ["unable", null, true, null],
    ["unsafe", new Browser(), false, null],
  ] as const)("isn't there, and says %s", async (want, b, secure, fails) => {
    if (b) b.fails = fails;
    const { copy, started } = open(b, secure);
    await started;
    expect(copy.state.value).toBe(want);
  });
});
