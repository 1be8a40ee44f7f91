import { fields, oneOf, words } from "../core/json";
import type { Picture } from "./camera";
import type { SensesWorker, ToEye } from "./senses";

/** Why a picture gives no number, or the teaching doesn't go on, by the words of internal/segments. */
export const lookRefusals = [
  "dark",
  "turn",
  "shade",
  "nearer",
  "covered",
  "moved",
  "other-unit",
  "not-a-display",
  "moving",
  "doubt",
  "off",
  "busy",
  "bad-text",
  "too-alike",
  "no-unit",
] as const;
export type LookRefusal = (typeof lookRefusals)[number];

/** What a picture, or a step of the teaching, gave. */
export interface Looked {
  /** Why there is no number; empty with one. */
  why: LookRefusal | "";
  /** The number as displayed; it counts only without a why. */
  text: string;
  /** The display is taught, so numbers can come. */
  taught: boolean;
}

/** How long the program may take to come and start: a slow phone on a slow network, once. */
const loadLimitMs = 60_000;

/** The camera's part of the senses in its worker. Each question is answered once, in order. */
export class Eye {
  private worker: SensesWorker;
  private waiting: ((l: Looked) => void)[] = [];
  private onFailed: () => void;

  constructor(start: () => SensesWorker, onFailed: () => void) {
    this.worker = start();
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
        if (data.type === "ready") {
          clearTimeout(timer);
          resolve();
        } else if (data.type === "failed") fail(data.cause);
        else if (data.type === "looked") this.waiting.shift()?.(readLooked(data.answer));
      };
    });
  }

  frame(corners: number[]): Promise<Looked> {
    return this.ask({ frame: corners });
  }

  look(picture: Picture, ms: number): Promise<Looked> {
    return this.ask({ picture, ms }, [picture.rgba.buffer]);
  }

  shown(text: string): Promise<Looked> {
    return this.ask({ shown: text });
  }

  allLit(digits: number): Promise<Looked> {
    return this.ask({ allLit: digits });
  }

  end(): void {
    this.worker.terminate();
    this.waiting = [];
  }

  private ask(m: ToEye, transfer: Transferable[] = []): Promise<Looked> {
    return new Promise((resolve) => {
      this.worker.postMessage(m, transfer); // first: what can't be asked isn't answered
      this.waiting.push(resolve);
    });
  }
}

export function readLooked(answer: unknown): Looked {
  const l = fields(answer);
  // A reason that isn't known here is one all the same.
  const why = l.why === "" ? "" : (oneOf(lookRefusals, l.why) ?? "doubt");
  return { why, text: words(l.text), taught: l.taught === true };
}
