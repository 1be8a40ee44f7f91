import { signal } from "@preact/signals";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { CoreClient } from "../core/client";
import { memoryStorage } from "../device/local-storage";
import { ManualWeight, restMs, type Subject } from "./manual-weight";

const cent: Subject = { country: "US", denomination: "cent", year: 0, mint: "" };

class Desk {
  stored = new Map<string, string>();
  asked: Record<string, unknown>[] = [];
  answer: (q: Record<string, unknown>) => unknown = (q) => ({
    ok: {
      call: "ordinary",
      headline: `Cent of ${q.value}`,
      tolerance: { state: "within", u_g: q.value === "3.110" ? 0.00076 : 0.0076 },
    },
  });
  subject = signal<Subject | null>(cent);
  manualWeight: ManualWeight;

  constructor() {
    const core = new CoreClient(
      {
        load: async () => {},
        speak: async () => {},
        exchange: async () => {
          throw new Error("no notebook here");
        },
        call: async (_, json) => {
          const q = JSON.parse(json);
          this.asked.push(q);
          return JSON.stringify(this.answer(q));
        },
      },
      async () => {
        throw new Error("no laptop");
      },
      () => {},
    );
    void core.load();
    this.manualWeight = this.open(core);
  }

  open(core: CoreClient) {
    const storage = memoryStorage(this.stored);
    return new ManualWeight(core, storage, () => this.subject.value);
  }

  async type(keys: string) {
    for (const k of keys) this.manualWeight.press(k);
    await vi.advanceTimersByTimeAsync(0);
  }
}

let d: Desk;
beforeEach(async () => {
  vi.useFakeTimers();
  d = new Desk();
  d.manualWeight.on.value = true;
  await vi.advanceTimersByTimeAsync(0);
});
afterEach(() => vi.useRealTimers());

describe("a typed weight", () => {
  it("goes to the core digit for digit, without a laptop", async () => {
    await d.type("3.110");
    expect(d.asked.at(-1)).toEqual({ ...cent, value: "3.110", unit: "g", brief: true });
    expect(d.manualWeight.current.value?.question).toMatchObject({
      mean_g: 3.11,
      u_g: 0.00076,
      resolution_g: 0.001,
    });
  });

  it("is another weight with one digit less", async () => {
    await d.type("3.110");
    d.manualWeight.undo();
    await vi.advanceTimersByTimeAsync(0);
    expect(d.manualWeight.digits.value).toBe("3.11");
    expect(d.manualWeight.current.value?.question).toMatchObject({ u_g: 0.0076, resolution_g: 0.01 });
  });

  it("is judged with the scale's step, and only when it has all its digits", async () => {
    d.manualWeight.step.value = "0.05";
    await d.type("3.1");
    expect(d.asked).toHaveLength(0);
    await d.type("0");
    expect(d.asked.at(-1)).toMatchObject({ value: "3.10", resolution: "0.05" });
    expect(d.manualWeight.current.value?.question.resolution_g).toBe(0.05);
    expect(d.stored.get("panside.step")).toBe('"0.05"');
  });

  it("is judged anew for another denomination, and not without one", async () => {
    await d.type("3.11");
    d.subject.value = { ...cent, denomination: "dime", year: 1964 };
    await vi.advanceTimersByTimeAsync(0);
    expect(d.asked.at(-1)).toMatchObject({ denomination: "dime", year: 1964 });
    d.subject.value = null;
    expect(d.manualWeight.current.value).toBeNull();
  });

  it("never shows the answer to digits that have changed meanwhile", async () => {
    await d.type("3.1");
    d.manualWeight.press("1");
    d.manualWeight.undo();
    d.manualWeight.undo();
    expect(d.manualWeight.lack.value.is).toBe("more");
    await vi.advanceTimersByTimeAsync(0);
    expect(d.manualWeight.current.value).toBeNull();
  });

  it("shows why it can't be judged", async () => {
    d.answer = () => ({ error: { code: "no-such-issue", sentence: "None was struck." } });
    await d.type("3.11");
    expect(d.manualWeight.fault.value?.sentence).toBe("None was struck.");
    d.manualWeight.undo();
    d.manualWeight.undo();
    expect(d.manualWeight.fault.value).toBeNull();
  });

  it("is said aloud once its digits have rested", async () => {
    await d.type("3");
    await d.type(".11");
    expect(d.manualWeight.rested.value).toBeNull();
    await vi.advanceTimersByTimeAsync(restMs);
    expect(d.manualWeight.rested.value?.verdict.headline).toBe("Cent of 3.11");
  });

  it("gives way to the next coin and stays behind as the last", async () => {
    expect(d.manualWeight.coin).toBeNull();
    await d.type("3.11");
    const first = d.manualWeight.coin;
    expect(first).toBeLessThan(0);
    d.manualWeight.next();
    expect(d.manualWeight.last.value?.verdict.headline).toBe("Cent of 3.11");
    expect(d.manualWeight.current.value).toBeNull();
    await d.type("2.5");
    expect(d.manualWeight.coin).not.toBe(first);
  });

  it("asks nothing once the scale is shown again", async () => {
    await d.type("3.11");
    const before = d.asked.length;
    d.manualWeight.on.value = false;
    d.manualWeight.press("0");
    await vi.advanceTimersByTimeAsync(0);
    expect(d.asked).toHaveLength(before);
    expect(d.stored.get("panside.typing")).toBe("false");
  });
});

describe("what the camera read", () => {
  it("is judged by the display's own digits, whatever step was set, and is marked", async () => {
    d.manualWeight.step.value = "0.1";
    d.manualWeight.confirmed("11.50");
    await vi.advanceTimersByTimeAsync(0);
    expect(d.asked.at(-1)).toEqual({ ...cent, value: "11.50", unit: "g", brief: true });
    expect(d.manualWeight.byCamera.value).toBe(true);
  });

  it("is typed once a digit of it is", async () => {
    d.manualWeight.confirmed("11.50");
    d.manualWeight.undo();
    expect(d.manualWeight.byCamera.value).toBe(false);
    d.manualWeight.confirmed("3.11");
    d.manualWeight.next();
    expect(d.manualWeight.byCamera.value).toBe(false);
  });

  it("is another coin each time", async () => {
    d.manualWeight.confirmed("11.50");
    const first = d.manualWeight.placement;
    d.manualWeight.confirmed("11.50");
    expect(d.manualWeight.placement).not.toBe(first);
  });
});
