import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import {
  type FromPictures,
  idleMs,
  Pictures,
  type PicturesWorker,
  type Source,
  type ToPictures,
} from "./pictures";

/** A worker that answers by hand. */
class FakeWorker implements PicturesWorker {
  onmessage: PicturesWorker["onmessage"] = null;
  onerror: PicturesWorker["onerror"] = null;
  ended = false;
  asked: ToPictures[] = [];
  put = 0;

  constructor() {
    queueMicrotask(() => this.say({ type: "ready" }));
  }
  say(data: FromPictures): void {
    this.onmessage?.({ data });
  }
  postMessage(m: ToPictures): void {
    this.asked.push(m);
    if ("put" in m) this.say({ type: "put", id: m.id, picture: ++this.put });
    if ("ask" in m && m.ask !== "slow") {
      this.say({
        type: "answer",
        id: m.id,
        answer: { picture: 100 + m.id, asked: m.question },
      });
    }
  }
  terminate(): void {
    this.ended = true;
  }
}

const source = (): Source & { taken: number } => {
  const s = {
    taken: 0,
    pixels: async () => {
      s.taken++;
      return { width: 1, height: 1, rgba: new Uint8ClampedArray(4) };
    },
  };
  return s;
};

function page() {
  const workers: FakeWorker[] = [];
  const pictures = new Pictures(() => {
    const w = new FakeWorker();
    workers.push(w);
    return w;
  });
  const last = (): FakeWorker => {
    const w = workers.at(-1);
    if (!w) throw new Error("no worker");
    return w;
  };
  return { pictures, workers, last };
}

const one = (numbers: number[]) => ({ picture: numbers[0] });
const settled = () => vi.advanceTimersByTimeAsync(0);

describe("pictures", () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  it("are handed over once, by the first call that needs them", async () => {
    const { pictures, workers } = page();
    expect(workers).toHaveLength(0);
    const s = source();
    expect((await pictures.ask("rim", [s], one)).asked).toEqual({ picture: 1 });
    expect((await pictures.ask("rim", [s], one)).asked).toEqual({ picture: 1 });
    expect(s.taken).toBe(1);
    expect(workers).toHaveLength(1);
  });

  it("that the program makes are made when they are asked for, once", async () => {
    const { pictures, last } = page();
    const made: Source = {
      made: { method: "relief", of: [source(), source()], question: (n) => ({ frames: n }) },
    };
    await pictures.ask("relit", [made], one);
    await pictures.ask("relit", [made], one);
    expect(last().asked.filter((m) => "ask" in m && m.ask === "relief")).toHaveLength(1);
  });

  it("stop by ending the worker, which the next call starts anew with its pictures", async () => {
    const { pictures, workers, last } = page();
    const s = source();
    const stop = new AbortController();
    const done: number[] = [];
    const slow = pictures.ask("slow", [s], one, { signal: stop.signal, onProgress: (d) => done.push(d) });
    const waiting = pictures.ask("rim", [s], one);
    await settled();
    const ask = last().asked.at(-1);
    last().say({ type: "progress", id: ask && "id" in ask ? ask.id : 0, done: 0.5 });
    expect(done).toEqual([0.5]);
    const said = expect(slow).rejects.toMatchObject({ why: "stopped" });
    stop.abort();
    await said;
    expect(workers[0]?.ended).toBe(true);
    expect((await waiting).asked).toEqual({ picture: 1 });
    expect(s.taken).toBe(2);
    expect(workers).toHaveLength(2);
  });

  it("that wait in line are left alone by what is stopped before its turn", async () => {
    const { pictures, workers } = page();
    const stop = new AbortController();
    const first = pictures.ask("rim", [source()], one);
    const second = pictures.ask("rim", [source()], one, { signal: stop.signal });
    const said = expect(second).rejects.toMatchObject({ why: "stopped" });
    stop.abort();
    await first;
    await said;
    expect(workers[0]?.ended).toBe(false);
  });

  it("reject all that is open and in line when the page is left", async () => {
    const { pictures, last } = page();
    const all = [pictures.ask("slow", [], () => ({})), pictures.ask("rim", [], () => ({}))];
    const said = all.map((p) => expect(p).rejects.toMatchObject({ why: "left" }));
    await settled();
    const worker = last();
    pictures.end();
    await Promise.all(said);
    expect(worker.ended).toBe(true);
  });

  it("say that the program failed, when it ends, breaks or falls silent", async () => {
    for (const fail of [
      (w: FakeWorker) => w.say({ type: "failed", cause: "ended" }),
      (w: FakeWorker) => w.onerror?.("broken"),
      () => void vi.advanceTimersByTimeAsync(60_001),
    ]) {
      const { pictures, last } = page();
      const said = expect(pictures.ask("slow", [], () => ({}))).rejects.toMatchObject({ why: "failed" });
      await settled();
      fail(last());
      await said;
      expect(last().ended).toBe(true);
    }
  });

  it("are dropped when nothing is asked for a while, and not while something is", async () => {
    const { pictures, last, workers } = page();
    const s = source();
    await pictures.ask("rim", [s], one);
    await vi.advanceTimersByTimeAsync(idleMs - 1);
    expect(last().ended).toBe(false);
    await vi.advanceTimersByTimeAsync(1);
    expect(last().ended).toBe(true);
    await pictures.ask("rim", [s], one);
    expect(s.taken).toBe(2);
    expect(workers).toHaveLength(2);
  });

  it("can be forgotten", async () => {
    const { pictures, last } = page();
    const s = source();
    await pictures.ask("rim", [s], one);
    pictures.forget(s);
    expect(last().asked.at(-1)).toEqual({ drop: 1 });
  });
});
