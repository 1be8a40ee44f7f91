import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import { CoreClient } from "../core/client";
import { fakeShown } from "../core/shown-fake";
import { type CoreDoor, said } from "../core/worker-core";
import type { Placement } from "../live/wire";
import { Judging, type Load } from "./judging";

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

const built = join(import.meta.dirname, "../../public/core");
const program = join(built, "core.wasm");
const there = existsSync(program);
let real: CoreDoor | undefined;

interface GoProgram {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

/** The core as the phone has it, under Node; it is there once the app was built. */
async function realCore(): Promise<CoreDoor> {
  new Function(readFileSync(join(built, "wasm_exec.js"), "utf8"))();
  const scope = globalThis as unknown as { Go: new () => GoProgram; pansideCore?: CoreDoor };
  delete scope.pansideCore;
  const go = new scope.Go();
  const { instance } = await WebAssembly.instantiate(readFileSync(program), go.importObject);
  void go.run(instance);
  return vi.waitUntil(() => scope.pansideCore, { timeout: 20_000 });
}

beforeAll(async () => {
  if (there) real = await realCore();
}, 30_000);

const answers = (json: string): string => (real ? said(real.call("shown", json)).json : "");
const cores: [string, (json: string) => string][] = [["a fake core", fake]];
if (there) cores.push(["the built core", answers]);

describe.each(cores)("what stands on the glass, by %s", (_, answer) => {
  let core: SlowCore;
  let judging: Judging;
  let now: number;
  const words = () => judging.current.value?.verdict.headline.split(",")[0] ?? null;
  const lastMean = () => judging.last.value?.question.mean_g ?? null;

  beforeEach(async () => {
    core = new SlowCore(answer);
    await core.client.load();
    now = 0;
    judging = new Judging(
      core.client,
      (act) => act(),
      () => now,
    );
  });

  it("is the verdict of the coin at rest, with what it was asked for", async () => {
    judging.take(load(1, 3.11));
    await core.answer();
    expect(words()).toBe("Bronze cent");
    expect(judging.current.value).toMatchObject({ placement: 1, settled: true, asked: "US/cent/0//{}" });
  });

  it("goes at once with its load, and stays as the last one", async () => {
    judging.take(load(1, 3.11));
    await core.answer();
    judging.clear();
    expect([words(), lastMean()]).toEqual([null, 3.11]);
    await core.answer();
    expect([words(), lastMean()]).toEqual([null, 3.11]);
    judging.take(load(2, 2.5));
    await core.answer();
    expect([judging.current.value?.placement, lastMean()]).toEqual([2, 3.11]);
  });

  it("goes at once when another coin lies there, or the same is asked about differently", async () => {
    judging.take(load(1, 3.11));
    await core.answer();
    judging.take(ofYear(load(1, 3.11), 1982));
    expect([words(), lastMean()]).toEqual([null, null]);
    await core.answer();
    expect([words(), lastMean()]).toEqual(["Bronze cent", null]);
    judging.take(load(2, 2.5));
    expect([words(), lastMean()]).toEqual([null, 3.11]);
  });

  it("is no late verdict on the coin before", async () => {
    judging.take(load(1, 3.11));
    judging.take(load(2, 2.5));
    await core.answer();
    expect(words()).toBeNull();
    expect(lastMean()).toBe(3.11); // it had rested: what it was is known now
    await core.answer();
    expect(judging.current.value?.placement).toBe(2);
  });

  it("is no late refusal of the coin before", async () => {
    judging.take(ofYear(load(1, 3.11), 1815));
    judging.take(load(2, 2.5));
    await core.answer();
    expect(judging.fault.value).toBeNull();
    await core.answer();
    expect([judging.current.value?.placement, judging.fault.value]).toEqual([2, null]);
  });

  it("is nothing that comes after the coin was lifted", async () => {
    judging.take(ofYear(load(1, 3.11), 1815));
    judging.clear();
    await core.answer();
    await core.answer();
    expect([judging.fault.value, judging.current.value]).toEqual([null, null]);
  });

  it("says why a coin can't be judged, until something else is asked", async () => {
    judging.take(ofYear(load(1, 3.11), 1815));
    await core.answer();
    expect(judging.fault.value).toMatchObject({ code: "no-such-issue", field: "year" });
    judging.take(ofYear(load(1, 3.11), 1815));
    await settle();
    expect(core.asked).toHaveLength(2); // the same estimate may be asked again, and answered
    await core.answer();
    judging.take(load(1, 3.11));
    expect(judging.fault.value).toBeNull();
  });

  it("is asked about one estimate at a time, always the newest", async () => {
    for (const mean of [3.1, 3.105, 3.107, 3.11]) judging.take(load(1, mean));
    await core.answer();
    expect(core.asked.map((a) => a.question?.mean_g)).toEqual([3.1, 3.11]);
    await core.answer();
    for (let message = 2; message < 9; message++) judging.take(load(1, 3.11, true, message));
    await settle();
    expect(core.asked).toHaveLength(2); // it says nothing new
  });

  it("keeps what was found out about the lifted coin when the next one comes", async () => {
    judging.take(load(1, 3.11));
    await core.answer();
    judging.clear();
    await core.answer();
    const again = judging.last.value && { ...judging.last.value, asked: "with a magnet" };
    judging.last.value = again;
    judging.take(load(2, 2.5));
    await core.answer();
    expect(judging.last.value).toBe(again);
  });

  it("goes on where it was when a worker is started anew", async () => {
    judging.take(load(1, 3.11));
    await core.answer();
    if (there && answer === answers) real = await realCore();
    judging.take(load(1, 3.12));
    await core.answer();
    judging.clear();
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
  let judging: Judging;
  beforeEach(async () => {
    laptop = new Laptop();
    await laptop.client.load();
    judging = new Judging(
      laptop.client,
      (act) => act(),
      () => 0,
    );
  });

  it("a verdict already given stands; without one it is said that nobody answers", async () => {
    judging.take(load(1, 3.11));
    await laptop.next(false);
    expect(judging.fault.value?.code).toBe("nobody-answers");
    judging.take(load(1, 3.11)); // the same estimate may be asked again
    await laptop.next(true);
    expect([judging.current.value?.placement, judging.fault.value]).toEqual([1, null]);
    judging.take(load(1, 3.12));
    await laptop.next(false);
    expect([judging.current.value?.question.mean_g, judging.fault.value]).toEqual([3.11, null]);
    judging.clear();
    expect([judging.current.value, judging.last.value?.question.mean_g]).toEqual([null, 3.11]);
  });

  it("a line that was lost for the coin before says nothing about the next", async () => {
    judging.take(load(1, 3.11));
    judging.take(load(2, 2.5));
    await laptop.next(false);
    expect(judging.fault.value).toBeNull();
    await laptop.next(true);
    expect(judging.current.value?.placement).toBe(2);
  });
});

describe.skipIf(!there)("in motion, by the built core", () => {
  it("waits for a second estimate, or asks again about one that doesn't change with each message", async () => {
    const core = new SlowCore(answers);
    await core.client.load();
    let now = 0;
    const judging = new Judging(
      core.client,
      (act) => act(),
      () => now,
    );
    judging.take(load(1, 3.11, false, 1));
    await core.answer();
    expect(judging.current.value).toBeNull();
    now = 200;
    judging.take(load(1, 3.11, false, 1)); // the clock ticked, no message came
    await settle();
    expect(core.asked).toHaveLength(1);
    judging.take(load(1, 3.11, false, 2));
    await core.answer();
    expect(judging.current.value?.settled).toBe(false);
    judging.clear();
    expect(judging.last.value?.question.mean_g).toBe(3.11);
  });
});
