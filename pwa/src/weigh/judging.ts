import { type Signal, signal } from "@preact/signals";
import { type CoreClient, nobodyAnswers } from "../core/client";
import { readVerdict } from "../core/read";
import type { CoreFault, JudgeQuestion, Verdict } from "../core/types";
import type { Placement } from "../live/wire";
import { Steady } from "./steady";

/** A verdict on the glass, with what it was given for. */
export interface Shown {
  verdict: Verdict;
  placement: Placement;
  settled: boolean;
  /** Denomination, year, mint and evidence it was asked for. */
  asked: string;
  question: JudgeQuestion;
}

/** One load to be judged. */
export interface Load {
  question: JudgeQuestion;
  placement: Placement;
  settled: boolean;
}

/** Waits for the next frame to be drawn; answers between two frames become one. */
export type OnFrame = (act: () => void) => void;

export const askedFor = (q: JudgeQuestion): string =>
  [q.country, q.denomination, q.year, q.mint, JSON.stringify(q.evidence ?? {})].join("/");

/**
 * Asks the core about each estimate and keeps what is shown: one question at a
 * time, always the newest, an answer thrown away if the coin or the question
 * has changed meanwhile.
 */
export class Judging {
  /** The verdict of the coin on the pan. */
  readonly current: Signal<Shown | null> = signal(null);
  /** The verdict of the coin before, or of this one before it moved, for when there is none. */
  readonly last: Signal<Shown | null> = signal(null);
  /** Why the coin on the pan can't be judged, such as a year that coin wasn't struck in. */
  readonly fault: Signal<CoreFault | null> = signal(null);

  private core: CoreClient;
  private onFrame: OnFrame;
  private now: () => number;
  private steady = new Steady();
  /** What will be the last verdict once this coin is gone. */
  private best: Shown | null = null;
  private subject = "";
  private newest: Load | null = null;
  private asking = false;
  private asked: Load | null = null;
  private answer: { load: Load; verdict: Verdict } | null = null;
  private framed = false;

  constructor(core: CoreClient, onFrame: OnFrame, now: () => number) {
    this.core = core;
    this.onFrame = onFrame;
    this.now = now;
  }

  /** The newest estimate of a load. */
  take(load: Load): void {
    const subject = subjectOf(load);
    if (subject !== this.subject) this.turnTo(subject, load);
    if (this.asked && sameLoad(this.asked, load)) return;
    this.newest = load;
    void this.ask();
  }

  /** There is no load to judge: the pan is empty, or the weight can't be trusted. */
  clear(): void {
    this.retire();
    this.subject = "";
    this.newest = null;
    this.asked = null;
    this.answer = null;
    this.steady.reset();
    this.fault.value = null;
  }

  private turnTo(subject: string, load: Load): void {
    const samePlacement = this.current.value?.placement === load.placement;
    if (samePlacement) this.best = this.current.value = null;
    else this.retire();
    this.subject = subject;
    this.asked = null;
    this.answer = null;
    this.steady.reset();
    this.fault.value = null;
  }

  /**
   * Puts the coin's verdict aside: the one at rest, since what came after it is
   * of the hand that takes the coin away; for a coin that never came to rest, the
   * last that was sure.
   */
  private retire(): void {
    if (this.best) this.last.value = this.best;
    this.best = this.current.value = null;
  }

  private async ask(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    while (this.newest) {
      const load = this.newest;
      this.newest = null;
      this.asked = load;
      const answer = await this.core.call("judge", load.question);
      if (subjectOf(load) !== this.subject) continue;
      if ("error" in answer) {
        this.refused(answer.error);
        continue;
      }
      const verdict = readVerdict(answer.ok);
      if (!verdict) {
        this.refused({ code: "internal", sentence: "" });
        continue;
      }
      this.answer = { load, verdict };
      if (!this.framed) {
        this.framed = true;
        this.onFrame(() => this.draw());
      }
    }
    this.asking = false;
  }

  private refused(fault: CoreFault): void {
    this.asked = null; // the same estimate may be asked again, and answered
    // A lost line says nothing against a verdict already given on this coin.
    if (fault.code === nobodyAnswers && this.current.value) return;
    this.current.value = null;
    this.fault.value = fault;
  }

  private draw(): void {
    this.framed = false;
    const answer = this.answer;
    this.answer = null;
    if (!answer || subjectOf(answer.load) !== this.subject) return;
    const { load, verdict } = answer;
    const shown = this.steady.offer(verdict, load.settled, this.now(), estimateOf(load));
    this.fault.value = null;
    if (!shown) {
      this.retire();
      return;
    }
    if (shown !== verdict) {
      // Held back: what stands on the glass stays as it is, and an unchanged
      // estimate may confirm the new answer.
      this.asked = null;
      return;
    }
    const { placement, settled, question } = load;
    const now = { verdict, placement, settled, asked: askedFor(question), question };
    this.current.value = now;
    if (settled || (verdict.decisive && !this.best?.settled)) this.best = now;
  }
}

const subjectOf = (load: Load): string => `${load.placement}/${askedFor(load.question)}`;

const sameLoad = (a: Load, b: Load): boolean =>
  a.settled === b.settled &&
  subjectOf(a) === subjectOf(b) &&
  a.question.mean_g === b.question.mean_g &&
  a.question.u_g === b.question.u_g &&
  a.question.resolution_g === b.question.resolution_g;

const estimateOf = (load: Load): string => `${load.question.mean_g} ${load.question.u_g}`;
