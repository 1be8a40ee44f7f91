import { type Signal, signal } from "@preact/signals";
import type { Line } from "../live/socket";
import type { Phase, Problem } from "../live/wire";
import { text } from "../text";
import type { Shown } from "./judging";

/**
 * What a screen reader is told, in its own time: each settled verdict once a
 * coin, each problem once, a lost line once. Weights are not read out; they
 * change too often.
 */
export class Announcer {
  readonly words: Signal<string> = signal("");
  private saidVerdict = "";
  private saidProblem = "";
  private lineLost = false;
  private withheld = false;

  verdict(shown: Shown | null): void {
    if (!shown?.settled) return;
    const id = `${shown.placement}/${shown.asked}/${shown.verdict.call}`;
    if (id === this.saidVerdict) return;
    this.saidVerdict = id;
    this.put(shown.verdict.spoken);
  }

  /** Something that is to be known at once, such as who holds the pan. */
  say(words: string): void {
    this.put(words);
  }

  /** The same words twice in a row would be no change, and stay unread. */
  private put(words: string): void {
    this.words.value = words !== "" && words === this.words.peek() ? `${words}\u00a0` : words;
  }

  problem(problem: Problem | null): void {
    const code = problem?.code ?? "";
    if (code === this.saidProblem) return;
    this.saidProblem = code;
    if (problem) this.words.value = problem.sentence;
  }

  /** A load lies there whose weight can't be told; once, until it is lifted. */
  phase(phase: Phase): void {
    const withheld = phase === "withheld";
    if (withheld && !this.withheld) this.put(text.phaseHint.withheld);
    this.withheld = withheld;
  }

  /** lost are the words for a line that is gone. */
  line(line: Line, lost: string): void {
    if (line === "waiting" && !this.lineLost) {
      this.lineLost = true;
      this.words.value = lost;
    }
    if (line === "open" && this.lineLost) {
      this.lineLost = false;
      this.words.value = text.line.back;
    }
  }
}
