import type { ToWorker } from "./worker-core";

/**
 * The questions that have reached the core's worker. The core answers one at a
 * time, and a judgement goes first: the first sheet or the notebook may take the
 * better part of a second to open on a slow phone, and a coin lies on the pan.
 */
export class Questions {
  private waiting: ToWorker[] = [];
  private later: (act: () => void) => void;
  private answer: (q: ToWorker) => void;

  /** later runs an act after the messages that have arrived by now were taken. */
  constructor(later: (act: () => void) => void, answer: (q: ToWorker) => void) {
    this.later = later;
    this.answer = answer;
  }

  take(q: ToWorker): void {
    this.waiting.push(q);
    if (this.waiting.length === 1) this.later(() => this.next());
  }

  private next(): void {
    const first = this.waiting.findIndex((q) => q.method === "shown" || q.method === "judge");
    const [q] = this.waiting.splice(Math.max(first, 0), 1);
    // Planned before the answer, so that one that throws holds up no other.
    if (this.waiting.length > 0) this.later(() => this.next());
    if (q) this.answer(q);
  }
}
