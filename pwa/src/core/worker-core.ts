import type { Beginning } from "./book-files";
import type { LocalCore, Said } from "./client";
import type { JournalMethod, Method } from "./types";

/** Messages between the page and the core's worker. */
export type ToWorker = { id: number; method: Method | JournalMethod; json: string; bytes?: ArrayBuffer };
export type ToBegin = { begin: Beginning };
/** From its answer on, all questions are answered in that language. */
export type ToSpeak = { id: number; speak: string };
export type FromWorker =
  | { type: "ready" }
  | { type: "failed"; cause: string }
  | ({ type: "answer"; id: number } & Said)
  | { type: "threw"; id: number; cause: string };

/** What the Go program sets; an answer with bytes beside its line is a pair. */
export interface CoreExports {
  call(
    method: string,
    json: string,
    bytes?: Uint8Array<ArrayBuffer>,
  ): string | [string, Uint8Array<ArrayBuffer>];
}

export const said = (answer: ReturnType<CoreExports["call"]>): Said =>
  typeof answer === "string" ? { json: answer } : { json: answer[0], bytes: answer[1].buffer };

/** The part of Worker that is used, so that tests can stand one in. */
export interface WorkerLike {
  onmessage: ((e: { data: FromWorker }) => void) | null;
  onerror: ((e: unknown) => void) | null;
  postMessage(m: ToWorker | ToBegin | ToSpeak, transfer?: Transferable[]): void;
  terminate(): void;
}

const loadLimitMs = 60_000; // a slow phone on a slow network, once
const callLimitMs = 30_000; // a call takes a millisecond, but a slow phone’s first ones wait for one another; past this the core hangs
const journalLimitMs = 60_000; // ten thousand finds opened on a slow phone

interface Waiting {
  resolve(answer: Said): void;
  reject(cause: Error): void;
  timer: ReturnType<typeof setTimeout>;
}

/** The Go core as WebAssembly, in a worker, so that neither its start nor a call holds up the screen. */
export class WorkerCore implements LocalCore {
  private start: () => WorkerLike;
  private beginning: (() => Beginning) | undefined;
  private worker: WorkerLike | null = null;
  private nextId = 1;
  private waiting = new Map<number, Waiting>();

  /** beginning says what the first coin will be, so that its part of the book comes along with the core. */
  constructor(start: () => WorkerLike, beginning?: () => Beginning) {
    this.start = start;
    this.beginning = beginning;
  }

  load(): Promise<void> {
    return new Promise((resolve, reject) => {
      const worker = this.start();
      this.worker = worker;
      if (this.beginning) worker.postMessage({ begin: this.beginning() });
      const timer = setTimeout(() => this.fail("the core took too long to start", reject), loadLimitMs);
      worker.onmessage = ({ data }) => {
        switch (data.type) {
          case "ready":
            clearTimeout(timer);
            resolve();
            break;
          case "failed":
            clearTimeout(timer);
            this.fail(data.cause, reject);
            break;
          case "answer":
            this.settle(data.id)?.resolve(data);
            break;
          case "threw":
            this.settle(data.id)?.reject(new Error(data.cause));
            break;
        }
      };
      worker.onerror = () => {
        clearTimeout(timer);
        this.fail("the core's worker stopped", reject);
      };
    });
  }

  async call(method: Method, json: string): Promise<string> {
    return (await this.exchange(method, json)).json;
  }

  exchange(method: Method | JournalMethod, json: string, bytes?: ArrayBuffer): Promise<Said> {
    const limit = /^(journal|sync)-/.test(method) ? journalLimitMs : callLimitMs;
    return this.post(limit, (worker, id) => {
      if (bytes) worker.postMessage({ id, method, json, bytes }, [bytes]);
      else worker.postMessage({ id, method, json });
    });
  }

  async speak(language: string): Promise<void> {
    if (!this.worker) return; // it begins with the language of then
    await this.post(loadLimitMs, (worker, id) => worker.postMessage({ id, speak: language }));
  }

  private post(limit: number, send: (worker: WorkerLike, id: number) => void): Promise<Said> {
    const worker = this.worker;
    if (!worker) return Promise.reject(new Error("the core isn't running"));
    const id = this.nextId++;
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => this.fail("the core doesn't answer", reject), limit);
      this.waiting.set(id, { resolve, reject, timer });
      send(worker, id);
    });
  }

  private settle(id: number): Waiting | undefined {
    const w = this.waiting.get(id);
    if (w) clearTimeout(w.timer);
    this.waiting.delete(id);
    return w;
  }

  /** The worker is lost: end it, and with it every call that waits. */
  private fail(cause: string, reject: (cause: Error) => void): void {
    this.worker?.terminate();
    this.worker = null;
    const error = new Error(cause);
    reject(error);
    for (const id of [...this.waiting.keys()]) this.settle(id)?.reject(error);
  }
}
