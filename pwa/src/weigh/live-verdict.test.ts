import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import { CoreClient } from "../core/client";
import { coreIsBuilt, startCore } from "../core/core-fixture";
import { fakeShown } from "../core/shown-fake";
import { type CoreExports, said } from "../core/worker-core";
import type { Placement } from "../live/wire";
import { LiveVerdict, type Load } from "./live-verdict";

const load = (placement: number, mean_g: number, settled = true, message = 1): Load => ({
  placement: placement as Placement,
  settled,
  message,
  question: {
    country: "US",
    denomination: "cent",
    year: 0,
    mint: "",
    mean_g,
    u_g: 0.006,
    resolution_g: 0.01,
  },
});

const ofYear = (l: Load, year: number): Load => ({ ...l, question: { ...l.question, year } });

async function settle() {
  for (let i = 0; i < 30; i++) await Promise.resolve();
}

interface Question {
  state: unknown;
  question?: { mean_g: number; year: number };
}

/** A core whose answers come when the test says so, in whatever order; refuses cents of 1815. */
class SlowCore {
  asked: (Question & { answer: () => Promise<void> })[] = [];
  client: CoreClient;

  constructor(core: (json: string) => string) {
    this.client = new CoreClient(
      {
        load: async () => {},
        speak: async () => {},
        exchange: () => Promise.reject(new Error("no notebook here")),
        call: (_, json) =>
          new Promise((resolve) => {
            this.asked.push({
              ...JSON.parse(json),
              answer: () => {
                resolve(core(json));
                return settle();
              },
            });
          }),
      },
      () => Promise.reject(new Error("no laptop")),
      () => {},
    );
  }

  async answer() {
    await settle();
    await this.asked.at(-1)?.answer();
  }
}

const verdict = (headline: string) => ({
  ok: { call: "ordinary", claim: headline, headline, decisive: true },
});

/** The fake core names bronze above 2.8 g. */
const fake = (json: string): string =>
  fakeShown(json, (q) =>
    q.year === 1815
      ? { error: { code: "no-such-issue", sentence: "None was struck.", field: "year" } }
      : verdict(Number(q.mean_g) > 2.8 ? "Bronze cent" : "Zinc cent"),
  );

let real: CoreExports | undefined;

beforeAll(async () => {
  if (coreIsBuilt) real = await startCore();
}, 30_000);

const answers = (json: string): string => (real ? said(real.call("shown", json)).json : "");
const cores: [string, (json: string) => string][] = [["a fake core", fake]];
if (coreIsBuilt) cores.push(["the built core", answers]);

describe.each(cores)("what stands on the glass, by %s", (_, answer) => {
  let core: SlowCore;
  let liveVerdict: LiveVerdict;
  let now: number;
  const words = () => liveVerdict.current.value?.verdict.headline.split(",")[0] ?? null;
  const lastMean = () => liveVerdict.last.value?.question.mean_g ?? null;

  beforeEach(async () => {
    core = new SlowCore(answer);
    await core.client.load();
    now = 0;
    liveVerdict = new LiveVerdict(
      core.client,
      (act) => act(),
      () => now,
    );
  });

  it("is the verdict of the coin at rest, with what it was asked for", async () => {
    liveVerdict.take(load(1, 3.11));
    await core.answer();
    expect(words()).toBe("Bronze cent");
    expect(liveVerdict.current.value).toMatchObject({ placement: 1, settled: true, asked: "US/cent/0//{}" });
  });

  it("goes at once with its load, and stays as the last one", async () => {
    liveVerdict.take(load(1, 3.11));
    await core.answer();
    liveVerdict.clear();
    expect([words(), lastMean()]).toEqual([null, 3.11]);
    await core.answer();
    expect([words(), lastMean()]).toEqual([null, 3.11]);
    liveVerdict.take(load(2, 2.5));
    await core.answer();
    expect([liveVerdict.current.value?.placement, lastMean()]).toEqual([2, 3.11]);
  });

  it("goes at once when another coin lies there, or the same is asked about differently", async () => {
    liveVerdict.take(load(1, 3.11));
    await core.answer();
    liveVerdict.take(ofYear(load(1, 3.11), 1982));
    expect([words(), lastMean()]).toEqual([null, null]);
    await core.answer();
    expect([words(), lastMean()]).toEqual(["Bronze cent", null]);
    liveVerdict.take(load(2, 2.5));
    expect([words(), lastMean()]).toEqual([null, 3.11]);
  });

  it("is no late verdict on the coin before", async () => {
    liveVerdict.take(load(1, 3.11));
    liveVerdict.take(load(2, 2.5));
    await core.answer();
    expect(words()).toBeNull();
    expect(lastMean()).toBe(3.11); // it had rested: what it was is known now
    await core.answer();
    expect(liveVerdict.current.value?.placement).toBe(2);
  });

  it("is no late refusal of the coin before", async () => {
    liveVerdict.take(ofYear(load(1, 3.11), 1815));
    liveVerdict.take(load(2, 2.5));
    await core.answer();
    expect(liveVerdict.fault.value).toBeNull();
    await core.answer();
    expect([liveVerdict.current.value?.placement, liveVerdict.fault.value]).toEqual([2, null]);
  });

  it("is nothing that comes after the coin was lifted", async () => {
    liveVerdict.take(ofYear(load(1, 3.11), 1815));
    liveVerdict.clear();
    await core.answer();
    await core.answer();
    expect([liveVerdict.fault.value, liveVerdict.current.value]).toEqual([null, null]);
  });

  it("says why a coin can't be judged, until something else is asked", async () => {
    liveVerdict.take(ofYear(load(1, 3.11), 1815));
    await core.answer();
    expect(liveVerdict.fault.value).toMatchObject({ code: "no-such-issue", field: "year" });
    liveVerdict.take(ofYear(load(1, 3.11), 1815));
    await settle();
    expect(core.asked).toHaveLength(2); // the same estimate may be asked again, and answered
    await core.answer();
    liveVerdict.take(load(1, 3.11));
    expect(liveVerdict.fault.value).toBeNull();
  });

  it("is asked about one estimate at a time, always the newest", async () => {
    for (const mean of [3.1, 3.105, 3.107, 3.11]) liveVerdict.take(load(1, mean));
    await core.answer();
    expect(core.asked.map((a) => a.question?.mean_g)).toEqual([3.1, 3.11]);
    await core.answer();
    for (let message = 2; message < 9; message++) liveVerdict.take(load(1, 3.11, true, message));
    await settle();
    expect(core.asked).toHaveLength(2); // it says nothing new
  });

  it("keeps what was found out about the lifted coin when the next one comes", async () => {
    liveVerdict.take(load(1, 3.11));
    await core.answer();
    liveVerdict.clear();
    await core.answer();
    const again = liveVerdict.last.value && { ...liveVerdict.last.value, asked: "with a magnet" };
    liveVerdict.last.value = again;
    liveVerdict.take(load(2, 2.5));
    await core.answer();
    expect(liveVerdict.last.value).toBe(again);
  });

  it("goes on where it was when a worker is started anew", async () => {
    liveVerdict.take(load(1, 3.11));
    await core.answer();
    if (coreIsBuilt && answer === answers) real = await startCore();
    liveVerdict.take(load(1, 3.12));
    await core.answer();
    liveVerdict.clear();
    expect(lastMean()).toBe(3.12);
  });
});

describe("out of reach of every core", () => {
  /** The laptop judges, and answers when the test says so; undefined for out of reach. */
  class Laptop {
    waiting: ((answer: string | undefined) => void)[] = [];
    client = new CoreClient(
      {
        load: () => Promise.reject(new Error("no WebAssembly")),
        speak: async () => {},
        exchange: () => Promise.reject(new Error("none")),
        call: () => Promise.reject(new Error("none")),
      },
      (_, json) =>
        new Promise((resolve, reject) => {
          this.waiting.push((answer) => (answer ? resolve(fake(json)) : reject(new Error("no laptop"))));
        }),
      () => {},
    );
    async next(reached: boolean) {
      await settle();
      this.waiting.shift()?.(reached ? "yes" : undefined);
      await settle();
    }
  }
  let laptop: Laptop;
  let liveVerdict: LiveVerdict;
  beforeEach(async () => {
    laptop = new Laptop();
    await laptop.client.load();
    liveVerdict = new LiveVerdict(
      laptop.client,
      (act) => act(),
      () => 0,
    );
  });

  it("a verdict already given stands; without one it is said that nobody answers", async () => {
    liveVerdict.take(load(1, 3.11));
    await laptop.next(false);
    expect(liveVerdict.fault.value?.code).toBe("nobody-answers");
    liveVerdict.take(load(1, 3.11)); // the same estimate may be asked again
    await laptop.next(true);
    expect([liveVerdict.current.value?.placement, liveVerdict.fault.value]).toEqual([1, null]);
    liveVerdict.take(load(1, 3.12));
    await laptop.next(false);
    expect([liveVerdict.current.value?.question.mean_g, liveVerdict.fault.value]).toEqual([3.11, null]);
    liveVerdict.clear();
    expect([liveVerdict.current.value, liveVerdict.last.value?.question.mean_g]).toEqual([null, 3.11]);
  });

  it("a line that was lost for the coin before says nothing about the next", async () => {
    liveVerdict.take(load(1, 3.11));
    liveVerdict.take(load(2, 2.5));
    await laptop.next(false);
    expect(liveVerdict.fault.value).toBeNull();
    await laptop.next(true);
    expect(liveVerdict.current.value?.placement).toBe(2);
  });
});

describe.skipIf(!coreIsBuilt)("in motion, by the built core", () => {
  it("waits for a second estimate, or asks again about one that doesn't change with each message", async () => {
    const core = new SlowCore(answers);
    await core.client.load();
    let now = 0;
    const liveVerdict = new LiveVerdict(
      core.client,
      (act) => act(),
      () => now,
    );
    liveVerdict.take(load(1, 3.11, false, 1));
    await core.answer();
    expect(liveVerdict.current.value).toBeNull();
    now = 200;
    liveVerdict.take(load(1, 3.11, false, 1)); // the clock ticked, no message came
    await settle();
    expect(core.asked).toHaveLength(1);
    liveVerdict.take(load(1, 3.11, false, 2));
    await core.answer();
    expect(liveVerdict.current.value?.settled).toBe(false);
    liveVerdict.clear();
    expect(liveVerdict.last.value?.question.mean_g).toBe(3.11);
  });
});
