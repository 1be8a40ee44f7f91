import { describe, expect, it } from "vitest";
import { Awake } from "./awake";

function source() {
  const locks: { released: boolean; lost(): void }[] = [];
  return {
    locks,
    refuses: false,
    async request() {
      if (this.refuses) throw new Error("the battery is low");
      let act = () => {};
      const lock = {
        released: false,
        release: async () => {
          lock.released = true;
          act();
        },
        lost: () => void lock.release(),
        addEventListener: (_: "release", a: () => void) => {
          act = a;
        },
      };
      locks.push(lock);
      return lock;
    },
  };
}

describe("Awake", () => {
  it("takes the lock anew when the page is back, and only while it is wanted", async () => {
    const s = source();
    const awake = new Awake(s);
    await awake.keep();
    await awake.visible();
    expect(s.locks).toHaveLength(1);
    s.locks[0]?.lost(); // the page was hidden
    expect(awake.state.value).toBe("off");
    await awake.visible();
    expect(s.locks).toHaveLength(2);
    expect(awake.state.value).toBe("on");
    await awake.letGo();
    await awake.visible();
    expect(s.locks).toHaveLength(2);
    expect(s.locks.every((l) => l.released)).toBe(true);
  });

  it("holds no lock that comes after it was let go", async () => {
    const s = source();
    const awake = new Awake(s);
    const keeping = awake.keep();
    await awake.letGo();
    await keeping;
    expect(s.locks.every((l) => l.released)).toBe(true);
    expect(awake.state.value).toBe("off");
  });

  it("says when the browser can't or won't", async () => {
    const none = new Awake(null);
    await none.keep();
    expect(none.state.value).toBe("unable");
    const s = source();
    s.refuses = true;
    const awake = new Awake(s);
    await awake.keep();
    expect(awake.state.value).toBe("unable");
    s.refuses = false;
    await awake.visible();
    expect(awake.state.value).toBe("on");
  });
});
