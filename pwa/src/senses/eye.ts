import { fields, words } from "../core/json";
import type { Picture } from "./camera";
import type { SensesWorker, ToEye } from "./senses";

/** What a picture, or a step of the teaching, gave. */
export interface Looked {
  /** Why there is no number, by the words of internal/segments; empty with one. */
  why: string;
  /** The same for a person, with what to do. */
  sentence: string;
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
        else if (data.type === "looked") this.waiting.shift()?.(readLooked(data.json));
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

export function readLooked(json: string): Looked {
  try {
    const l = fields(JSON.parse(json));
    return {
      why: words(l.why),
      sentence: words(l.sentence),
      text: words(l.text),
      taught: l.taught === true,
    };
  } catch {
    return { why: "doubt", sentence: "", text: "", taught: false };
  }
}
