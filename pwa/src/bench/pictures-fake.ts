import { type Asking, type Asks, NoAnswer, type Source } from "../senses/pictures";
import type { Picture } from "./bench";

/** One question that was asked, to be answered by the test. */
export interface AskedOf {
  method: string;
  question: Record<string, unknown>;
  how: Asking;
  answer(a: Record<string, unknown>): Promise<void>;
  fail(cause: NoAnswer): Promise<void>;
}

const settled = () => new Promise<void>((resolve) => setTimeout(resolve, 0));

/** The program that looks at pictures, answering as a test says. */
export class FakePictures implements Asks {
  readonly asked: AskedOf[] = [];
  readonly forgotten: Source[] = [];

  ask(method: string, of: readonly Source[], question: (n: number[]) => object, how: Asking = {}) {
    return new Promise<Record<string, unknown>>((resolve, reject) => {
      how.signal?.addEventListener("abort", () => reject(new NoAnswer("stopped")));
      this.asked.push({
        method,
        question: question(of.map((_, i) => i + 1)) as Record<string, unknown>,
        how,
        answer: (a) => {
          resolve({ why: "", ...a });
          return settled();
        },
        fail: (cause) => {
          reject(cause);
          return settled();
        },
      });
    });
  }

  async pixels() {
    return { width: 1, height: 1, rgba: new Uint8ClampedArray(4) };
  }

  forget(source: Source): void {
    this.forgotten.push(source);
  }

  /** The newest question of a method. */
  last(method: string): AskedOf {
    const found = this.asked.findLast((a) => a.method === method);
    if (!found) throw new Error(`${method} wasn't asked`);
    return found;
  }

  times(method: string): number {
    return this.asked.filter((a) => a.method === method).length;
  }
}

export const pictureFake = (name: string): Picture => ({
  name,
  width: 1000,
  height: 800,
  bitmap: {} as CanvasImageSource,
  source: { pixels: async () => ({ width: 1, height: 1, rgba: new Uint8ClampedArray(4) }) },
});
