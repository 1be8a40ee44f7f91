import { fields, isNumber, list, number, oneOf, words } from "../core/json";

/** What the Go program of the senses sets; see pwa/wasm/senses. */
export interface SensesDoor {
  listen(rate: number): void;
  hear(samples: Float32Array<ArrayBuffer>): unknown;
  together(rings: readonly unknown[]): unknown;
  frame(...corners: number[]): unknown;
  look(width: number, height: number, rgba: Uint8ClampedArray, ms: number): unknown;
  shown(text: string): unknown;
  allLit(digits: number): unknown;
}

export type ToSenses =
  | { listen: number }
  | { samples: Float32Array<ArrayBuffer> }
  | { id: number; rings: readonly unknown[] }
  | ToEye;
export type FromSenses =
  | { type: "ready" }
  | { type: "failed"; cause: string }
  | { type: "heard"; answer: unknown }
  | { type: "together"; id: number; answer: unknown }
  | { type: "looked"; answer: unknown };

/** What the camera's part is asked; each is answered once, in order. */
export type ToEye =
  | { frame: number[] }
  | { picture: { width: number; height: number; rgba: Uint8ClampedArray<ArrayBuffer> }; ms: number }
  | { shown: string }
  | { allLit: number };

/** The part of Worker that is used, so that tests can stand one in. */
export interface SensesWorker {
  onmessage: ((e: { data: FromSenses }) => void) | null;
  onerror: ((e: unknown) => void) | null;
  postMessage(m: ToSenses, transfer?: Transferable[]): void;
  terminate(): void;
}

export interface Peak {
  hz: number;
  level: number;
  decay: number;
}

/** One tap that rang; given back to the senses as it came. */
export interface Rung {
  peaks: Peak[];
  given: unknown;
}

/** Why a sound was no ring, by the words of internal/ring. */
export const ringRefusals = [
  "click",
  "voice",
  "music",
  "two-coins",
  "bounce",
  "clipped",
  "glass",
  "faint",
  "too-few",
  "differ",
] as const;
export type RingRefusal = (typeof ringRefusals)[number];

export interface Heard {
  rings: Rung[];
  refused: RingRefusal[];
  level: number;
}

/** What rings of one coin have in common; the core takes it as evidence. */
export interface RingEvidence {
  hz: number[];
  u: number;
}

/** How long the program may take to come and start: a slow phone on a slow network, once. */
const loadLimitMs = 60_000;

/** The senses in their worker, from the first sound asked for to stop. */
export class Senses {
  private worker: SensesWorker;
  private onHeard: (heard: Heard) => void;
  private onFailed: () => void;
  private asked = new Map<number, (answer: unknown) => void>();
  private nextId = 1;

  constructor(start: () => SensesWorker, onHeard: (heard: Heard) => void, onFailed: () => void) {
    this.worker = start();
    this.onHeard = onHeard;
    this.onFailed = onFailed;
  }

  /** Resolves once the program is up; rejects where it can't be had. */
  ready(): Promise<void> {
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => reject(new Error("the senses took too long")), loadLimitMs);
      const fail = (cause: string) => {
        clearTimeout(timer);
        reject(new Error(cause));
        this.onFailed();
      };
      this.worker.onerror = () => fail("the senses' worker stopped");
      this.worker.onmessage = ({ data }) => {
        switch (data.type) {
          case "ready":
            clearTimeout(timer);
            resolve();
            break;
          case "failed":
            fail(data.cause);
            break;
          case "heard":
            this.onHeard(readHeard(data.answer));
            break;
          case "together":
            this.asked.get(data.id)?.(data.answer);
            this.asked.delete(data.id);
            break;
        }
      };
    });
  }

  listen(rate: number): void {
    this.worker.postMessage({ listen: rate });
  }

  hear(samples: Float32Array<ArrayBuffer>): void {
    this.worker.postMessage({ samples }, [samples.buffer]);
  }

  /** What the rings have in common, or why nothing. */
  together(rings: readonly Rung[]): Promise<RingEvidence | RingRefusal> {
    const id = this.nextId++;
    return new Promise((resolve) => {
      this.asked.set(id, (answer) => resolve(readTogether(answer)));
      this.worker.postMessage({ id, rings: rings.map((r) => r.given) });
    });
  }

  end(): void {
    this.worker.terminate();
    this.asked.clear();
  }
}

export function readHeard(x: unknown): Heard {
  const h = fields(x);
  return {
    rings: list(h.rings).map((r) => ({ peaks: list(fields(r).peaks).flatMap(readPeak), given: r })),
    refused: list(h.refused).flatMap((r) => oneOf(ringRefusals, fields(r).why) ?? []),
    level: number(h.level) ?? -120,
  };
}

function readPeak(x: unknown): Peak[] {
  const { hz, level, decay } = fields(x);
  return isNumber(hz) && isNumber(level) && isNumber(decay) ? [{ hz, level, decay }] : [];
}

function readTogether(x: unknown): RingEvidence | RingRefusal {
  const t = fields(x);
  const hz = list(t.hz).filter(isNumber);
  const u = number(t.u);
  if (words(t.why) === "" && hz.length > 0 && u) return { hz, u };
  return oneOf(ringRefusals, t.why) ?? "too-few";
}
