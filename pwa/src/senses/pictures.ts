import { fields, number, words } from "../core/json";

/** A picture as the program takes it and gives it: RGBA, row by row from the top. */
export interface Pixels {
  width: number;
  height: number;
  rgba: Uint8ClampedArray<ArrayBuffer>;
}

/**
 * A picture by where it comes from, so that it can be handed over again to a worker that was
 * started anew: pixels from outside, or what the program makes of other pictures.
 */
export type Source =
  | { pixels(): Promise<Pixels> }
  | { made: { method: string; of: readonly Source[]; question(numbers: number[]): object } };

/** What the Go program sets; see internal/senses/pictures.go. */
export interface PicturesDoor {
  put(width: number, height: number, rgba: Uint8Array<ArrayBuffer>): number;
  drop(picture: number): void;
  ask(method: string, question: object, progress: (done: number) => void): object;
  /** Null where the number names no picture. */
  pixels(picture: number): { width: number; height: number; rgba: Uint8Array<ArrayBuffer> } | null;
}

export type ToPictures =
  | { id: number; put: Pixels }
  | { id: number; ask: string; question: object }
  | { id: number; pixels: number }
  | { drop: number };
export type FromPictures =
  | { type: "ready" }
  | { type: "failed"; cause: string }
  | { type: "progress"; id: number; done: number }
  | { type: "put"; id: number; picture: number }
  | { type: "answer"; id: number; answer: object }
  | { type: "pixels"; id: number; pixels: Pixels | null }
  | { type: "threw"; id: number; cause: string };

/** The part of Worker that is used, so that tests can stand one in. */
export interface PicturesWorker {
  onmessage: ((e: { data: FromPictures }) => void) | null;
  onerror: ((e: unknown) => void) | null;
  postMessage(m: ToPictures, transfer?: Transferable[]): void;
  terminate(): void;
}

/** Why there is no answer: the person stopped it, the page was left, or the program can't be had or broke. */
export type PicturesTrouble = "stopped" | "left" | "failed";

export class NoAnswer extends Error {
  readonly why: PicturesTrouble;
  /** The program's own word, where it refused to make a picture that was needed. */
  readonly said: string;

  constructor(why: PicturesTrouble, cause = why as string, said = "") {
    super(cause);
    this.why = why;
    this.said = said;
  }
}

/** What kept an answer from coming, in the program's own word if it said one. */
export const noAnswerWhy = (cause: unknown): string =>
  cause instanceof NoAnswer ? cause.said || cause.why : "failed";

export interface Asking {
  /** 0 to 1, while it goes on. */
  onProgress?: (done: number) => void;
  /** Aborted, it ends the worker and rejects with "stopped". */
  signal?: AbortSignal;
}

/** How long the program may take to come and start: a slow phone on a slow network, once. */
const loadLimitMs = 60_000;
/** How long nothing may be heard of a call: each says its progress far more often, on a slow phone too. */
const silenceLimitMs = 60_000;
/** How long an idle worker is kept; its pictures are hundreds of megabytes. */
export const idleMs = 90_000;

/** What whoever asks about pictures needs of them. */
export type Asks = Pick<Pictures, "ask" | "pixels" | "forget">;

interface Open {
  resolve(m: FromPictures): void;
  reject(cause: NoAnswer): void;
  heard(): void;
  onProgress: ((done: number) => void) | undefined;
}

/**
 * The program that looks at pictures, in a worker: started by the first call, one call after the
 * other, stopped by ending the worker, and ended when nothing is asked for a while. Whoever asks
 * needn't know: pictures are handed over again to the next worker.
 */
export class Pictures {
  private start: () => PicturesWorker;
  private worker: PicturesWorker | null = null;
  private up: Promise<PicturesWorker> | null = null;
  private numbers = new Map<Source, number>();
  private open = new Map<number, Open>();
  private nextId = 1;
  private line: Promise<unknown> = Promise.resolve();
  private inLine = 0;
  private idle: ReturnType<typeof setTimeout> | undefined;
  private visit = 0;

  constructor(start: () => PicturesWorker) {
    this.start = start;
  }

  /** Asks a method about pictures, each named by its number in the question. */
  ask(
    method: string,
    of: readonly Source[],
    question: (numbers: number[]) => object,
    how: Asking = {},
  ): Promise<Record<string, unknown>> {
    return this.queue(how, () => this.answer(method, of, question, how));
  }

  /** The pixels of a picture that the program makes. */
  pixels(source: Source, how: Asking = {}): Promise<Pixels> {
    return this.queue(how, async () => {
      const picture = await this.numberOf(source, how);
      const m = await this.post((id) => ({ id, pixels: picture }), [], how);
      if (m.type !== "pixels" || !m.pixels) throw new NoAnswer("failed", "no such picture");
      return m.pixels;
    });
  }

  /** Forgets a picture that isn't wanted any more. */
  forget(source: Source): void {
    const picture = this.numbers.get(source);
    this.numbers.delete(source);
    if (picture !== undefined) this.worker?.postMessage({ drop: picture });
  }

  /** The page is left: ends the worker; what was asked rejects with "left". */
  end(): void {
    this.visit++;
    this.stop(new NoAnswer("left"));
  }

  private queue<T>(how: Asking, act: () => Promise<T>): Promise<T> {
    const visit = this.visit;
    this.inLine++;
    clearTimeout(this.idle);
    const mine = this.line.then(async () => {
      if (visit !== this.visit) throw new NoAnswer("left");
      if (how.signal?.aborted) throw new NoAnswer("stopped");
      const abort = () => this.stop(new NoAnswer("stopped"));
      how.signal?.addEventListener("abort", abort);
      try {
        return await act();
      } finally {
        how.signal?.removeEventListener("abort", abort);
      }
    });
    this.line = mine.then(
      () => this.done(),
      () => this.done(),
    );
    return mine;
  }

  private done(): void {
    if (--this.inLine > 0) return;
    clearTimeout(this.idle);
    this.idle = setTimeout(() => this.stop(new NoAnswer("stopped")), idleMs);
  }

  private async answer(
    method: string,
    of: readonly Source[],
    question: (numbers: number[]) => object,
    how: Asking,
  ): Promise<Record<string, unknown>> {
    const numbers: number[] = [];
    for (const source of of) numbers.push(await this.numberOf(source, how));
    const asked = question(numbers);
    const m = await this.post((id) => ({ id, ask: method, question: asked }), [], how);
    if (m.type !== "answer") throw new NoAnswer("failed", "another answer than asked for");
    return fields(m.answer);
  }

  private async numberOf(source: Source, how: Asking): Promise<number> {
    const had = this.numbers.get(source);
    if (had !== undefined) return had;
    if ("made" in source) {
      const { method, of, question } = source.made;
      const made = await this.answer(method, of, question, how);
      const picture = number(made.picture);
      if (picture === null) throw new NoAnswer("failed", `${method} made nothing`, words(made.why));
      this.numbers.set(source, picture);
      return picture;
    }
    const put = await source.pixels();
    if (how.signal?.aborted) throw new NoAnswer("stopped");
    const m = await this.post((id) => ({ id, put }), [put.rgba.buffer], how);
    if (m.type !== "put") throw new NoAnswer("failed", "another answer than asked for");
    this.numbers.set(source, m.picture);
    return m.picture;
  }

  private async post(
    message: (id: number) => ToPictures,
    transfer: Transferable[],
    how: Asking,
  ): Promise<FromPictures> {
    const worker = await this.running();
    const id = this.nextId++;
    let timer: ReturnType<typeof setTimeout>;
    return new Promise<FromPictures>((resolve, reject) => {
      const heard = () => {
        clearTimeout(timer);
        timer = setTimeout(() => this.stop(new NoAnswer("failed", "no progress any more")), silenceLimitMs);
      };
      heard();
      this.open.set(id, { resolve, reject, heard, onProgress: how.onProgress });
      worker.postMessage(message(id), transfer);
    }).finally(() => {
      clearTimeout(timer);
      this.open.delete(id);
    });
  }

  private running(): Promise<PicturesWorker> {
    this.up ??= new Promise<PicturesWorker>((resolve, reject) => {
      const worker = this.start();
      this.worker = worker;
      const fail = (cause: string) => {
        if (worker === this.worker) this.stop(new NoAnswer("failed", cause));
      };
      const timer = setTimeout(() => fail("the program took too long to come"), loadLimitMs);
      this.open.set(0, { resolve: () => resolve(worker), reject, heard() {}, onProgress: undefined });
      worker.onerror = () => fail("the pictures' worker stopped");
      worker.onmessage = ({ data }) => {
        if (worker !== this.worker) return;
        if (data.type === "failed") {
          fail(data.cause);
          return;
        }
        const open = this.open.get(data.type === "ready" ? 0 : data.id);
        switch (data.type) {
          case "ready":
            clearTimeout(timer);
            open?.resolve(data);
            this.open.delete(0);
            break;
          case "progress":
            open?.heard();
            open?.onProgress?.(data.done);
            break;
          case "threw":
            open?.reject(new NoAnswer("failed", data.cause));
            break;
          default:
            open?.resolve(data);
        }
      };
    });
    return this.up;
  }

  /** Ends the worker and with it every call that is open, which it tells the reason. */
  private stop(reason: NoAnswer): void {
    this.worker?.terminate();
    this.worker = null;
    this.up = null;
    this.numbers.clear();
    const open = [...this.open.values()];
    this.open.clear();
    for (const o of open) o.reject(reason);
  }
}
