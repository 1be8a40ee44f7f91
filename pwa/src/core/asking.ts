import { type Signal, signal } from "@preact/signals";
import type { CoreClient } from "./client";
import type { CoreFault, Method } from "./types";

/** What a screen shows of a question to the core. */
export type Asked<T> =
  | { is: "idle" }
  | { is: "asking" }
  | { is: "failed"; fault: CoreFault }
  | { is: "answer"; value: T };

/** Asks the core one thing at a time; only the newest question's answer is shown. */
export class Asking<T> {
  readonly view: Signal<Asked<T>> = signal({ is: "idle" });
  private core: Pick<CoreClient, "call">;
  private method: Method;
  private read: (x: unknown) => T | null;
  private newest = 0;
  private question: unknown = null;

  constructor(core: Pick<CoreClient, "call">, method: Method, read: (x: unknown) => T | null) {
    this.core = core;
    this.method = method;
    this.read = read;
  }

  /** An answer already there stays until the new one has come. */
  async ask(question: unknown): Promise<void> {
    const mine = ++this.newest;
    this.question = question;
    if (this.view.value.is !== "answer") this.view.value = { is: "asking" };
    const answer = await this.core.call(this.method, question);
    if (mine !== this.newest) return;
    if ("error" in answer) {
      this.view.value = { is: "failed", fault: answer.error };
      return;
    }
    const value = this.read(answer.ok);
    this.view.value =
      value === null ? { is: "failed", fault: { code: "internal", sentence: "" } } : { is: "answer", value };
  }

  /** Asks what is shown, for a core that answers in another language now. */
  again(): void {
    if (this.question !== null) void this.ask(this.question);
  }

  /** Says what is missing before anything is asked. */
  refuse(field: string, sentence: string): void {
    this.newest++;
    this.question = null;
    this.view.value = { is: "failed", fault: { code: "bad-input", sentence, field } };
  }

  clear(): void {
    this.newest++;
    this.question = null;
    this.view.value = { is: "idle" };
  }
}
