import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Beginning } from "./book-files";
import {
  type FromWorker,
  type ToBegin,
  type ToSpeak,
  type ToWorker,
  WorkerCore,
  type WorkerLike,
} from "./worker-core";

class FakeWorker implements WorkerLike {
  onmessage: WorkerLike["onmessage"] = null;
  onerror: WorkerLike["onerror"] = null;
  asked: ToWorker[] = [];
  terminated = false;
  handed: Transferable[] = [];
  begun: Beginning[] = [];
  spoken: ToSpeak[] = [];
  postMessage(m: ToWorker | ToBegin | ToSpeak, transfer: Transferable[] = []) {
    if ("begin" in m) this.begun.push(m.begin);
    else if ("speak" in m) this.spoken.push(m);
    else this.asked.push(m);
    this.handed.push(...transfer);
  }
  terminate() {
    this.terminated = true;
  }
  say(m: FromWorker) {
    this.onmessage?.({ data: m });
  }
}

let worker: FakeWorker;
let core: WorkerCore;

beforeEach(() => {
  vi.useFakeTimers();
  worker = new FakeWorker();
  core = new WorkerCore(() => worker);
});
afterEach(() => {
  vi.useRealTimers();
});

async function loaded() {
  const loading = core.load();
  worker.say({ type: "ready" });
  await loading;
}

describe("WorkerCore", () => {
  it("gives each call its own answer, in any order", async () => {
    await loaded();
    const a = core.call("judge", "a");
    const b = core.call("judge", "b");
    const [first, second] = worker.asked;
    worker.say({ type: "answer", id: second?.id ?? 0, json: "B" });
    worker.say({ type: "answer", id: first?.id ?? 0, json: "A" });
    expect(await a).toBe("A");
    expect(await b).toBe("B");
  });

  it("says at once whose coins are weighed", async () => {
    core = new WorkerCore(
      () => worker,
      () => ({ country: "CA", language: "en" }),
    );
    const loading = core.load();
    expect(worker.begun).toEqual([{ country: "CA", language: "en" }]);
    worker.say({ type: "ready" });
    await loading;
  });

  it("has turned to another language once the worker says so", async () => {
    await core.speak("es"); // before there is a worker: it begins in the language of then
    await loaded();
    let turned = false;
    const turning = core.speak("es-MX").then(() => {
      turned = true;
    });
    expect(worker.spoken.map((m) => m.speak)).toEqual(["es-MX"]);
    await Promise.resolve();
    expect(turned).toBe(false);
    worker.say({ type: "answer", id: worker.spoken[0]?.id ?? 0, json: "" });
    await turning;
  });

  it("hands bytes over both ways instead of copying them", async () => {
    await loaded();
    const bytes = new Uint8Array([1, 2]).buffer;
    const opened = core.exchange("journal-open", "{}", bytes);
    expect(worker.handed).toEqual([bytes]);
    const kept = new Uint8Array([3]).buffer;
    worker.say({ type: "answer", id: worker.asked[0]?.id ?? 0, json: "{}", bytes: kept });
    expect((await opened).bytes).toBe(kept);
  });

  it.each<[string, () => void]>([
    ["says it failed", () => worker.say({ type: "failed", cause: "no wasm" })],
    ["breaks", () => worker.onerror?.({})],
    ["takes too long", () => vi.advanceTimersByTime(60_000)],
  ])("doesn't load if the worker %s", async (_, happen) => {
    const loading = core.load();
    happen();
    await expect(loading).rejects.toThrow();
    expect(worker.terminated).toBe(true);
    await expect(core.call("judge", "{}")).rejects.toThrow();
  });

  it("ends every waiting call if the core ends", async () => {
    await loaded();
    const calls = [core.call("judge", "a"), core.call("look", "b")];
    worker.say({ type: "failed", cause: "the core ended" });
    for (const call of calls) await expect(call).rejects.toThrow("the core ended");
  });

  it("gives up a core that hangs", async () => {
    await loaded();
    const call = core.call("judge", "a");
    vi.advanceTimersByTime(30_000);
    await expect(call).rejects.toThrow("doesn't answer");
    expect(worker.terminated).toBe(true);
  });

  it("rejects only the call that threw", async () => {
    await loaded();
    const bad = core.call("judge", "a");
    const good = core.call("judge", "b");
    const [first, second] = worker.asked;
    worker.say({ type: "threw", id: first?.id ?? 0, cause: "oops" });
    worker.say({ type: "answer", id: second?.id ?? 0, json: "B" });
    await expect(bad).rejects.toThrow("oops");
    expect(await good).toBe("B");
  });
});
