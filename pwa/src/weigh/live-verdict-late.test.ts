import { describe, expect, it } from "vitest";
import { CoreClient } from "../core/client";
import { fakeShown } from "../core/shown-fake";
import type { Placement } from "../live/wire";
import { LiveVerdict, type Load } from "./live-verdict";

/** A core whose answers come when the test says so, in whatever order. */
class SlowCore {
  asked: { mean: number; answer: (ok: unknown) => void; refuse: (sentence: string) => void }[] = [];
  client = new CoreClient(
    {
      load: async () => {},
      exchange: () => Promise.reject(new Error("no notebook here")),
      call: (_, json) =>
        new Promise((resolve) => {
          this.asked.push({
            mean: JSON.parse(json).question?.mean_g,
            answer: (ok) => resolve(fakeShown(json, () => ({ ok }))),
            refuse: (sentence) =>
              resolve(fakeShown(json, () => ({ error: { code: "bad-input", sentence } }))),
          });
        }),
    },
    () => Promise.reject(new Error("no laptop")),
    () => {},
  );
}

const load = (placement: number, mean_g: number, settled = true): Load => ({
  placement: placement as Placement,
  settled,
  message: 1,
  question: {
    country: "US",
    denomination: "cent",
    year: 1943,
    mint: "",
    mean_g,
    u_g: 0.005,
    resolution_g: 0.01,
  },
});

const verdict = (headline: string) => ({ call: "ordinary", headline, decisive: true });

async function settle() {
  for (let i = 0; i < 20; i++) await Promise.resolve();
}

async function table() {
  const core = new SlowCore();
  await core.client.load();
  const liveVerdict = new LiveVerdict(
    core.client,
    (act) => act(),
    () => 0,
  );
  return { core, liveVerdict };
}

describe("an answer that comes late", () => {
  it("of the coin before, if it is a refusal, doesn't stand against the coin on the pan", async () => {
    const { core, liveVerdict } = await table();
    liveVerdict.take(load(1, 3.11));
    liveVerdict.take(load(2, 5));
    core.asked[0]?.refuse("No cents were struck in that year.");
    await settle();
    expect(liveVerdict.fault.value).toBeNull();
    core.asked[1]?.answer(verdict("Cupronickel."));
    await settle();
    expect(liveVerdict.current.value).toMatchObject({ placement: 2, verdict: { headline: "Cupronickel." } });
  });

  it("of the coin before, if it is a verdict, isn't shown on the coin on the pan", async () => {
    const { core, liveVerdict } = await table();
    liveVerdict.take(load(1, 3.11));
    liveVerdict.take(load(2, 5));
    core.asked[0]?.answer(verdict("Bronze."));
    await settle();
    expect(liveVerdict.current.value).toBeNull();
    expect(liveVerdict.last.value).toMatchObject({ placement: 1, verdict: { headline: "Bronze." } });
  });

  it("after the coin was lifted isn't shown at all", async () => {
    const { core, liveVerdict } = await table();
    liveVerdict.take(load(1, 3.11));
    liveVerdict.clear();
    core.asked[0]?.refuse("No cents were struck in that year.");
    await settle();
    expect([liveVerdict.fault.value, liveVerdict.current.value]).toEqual([null, null]);
  });
});

describe("while an answer is awaited", () => {
  it("only the newest estimate is asked about next", async () => {
    const { core, liveVerdict } = await table();
    for (const mean of [3.1, 3.105, 3.107, 3.11]) liveVerdict.take(load(1, mean));
    core.asked[0]?.answer(verdict("Bronze."));
    await settle();
    expect(core.asked.map((a) => a.mean)).toEqual([3.1, 3.11]);
  });
});
