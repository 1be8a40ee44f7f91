import { batch, type Signal, signal } from "@preact/signals";
import { type CoreClient, nobodyAnswers } from "../core/client";
import { emptyGlass, readShown, readVerdict } from "../core/read";
import type { CoreFault, JudgeQuestion, ShownStep, Subject, Verdict, View } from "../core/types";
import type { Placement } from "../live/wire";

/** A verdict on the glass, with what it was given for. */
export interface Shown {
  verdict: Verdict;
  placement: Placement;
  settled: boolean;
  /** All that it was asked for beside the weight. */
  asked: string;
  question: JudgeQuestion;
}

/** One load to be judged. */
export interface Load {
  question: JudgeQuestion;
  placement: Placement;
  /** Number of the message that brought the estimate: another look at the same one tells nothing new. */
  message: number;
  settled: boolean;
}

/** Waits for the next frame to be drawn; answers between two frames become one. */
export type OnFrame = (act: () => void) => void;

export const askedFor = (q: JudgeQuestion): string =>
  [
    q.country,
    q.denomination,
    q.year,
    q.mint,
    JSON.stringify(q.evidence ?? {}),
    ...(q.keep ? [JSON.stringify(q.keep)] : []),
    ...(q.source ? [q.source] : []),
  ].join("/");

/**
 * Asks the core about each estimate and shows what it says is to stand: one
 * question at a time, always the newest. When a verdict may stand, waits or goes
 * is decided in the core (internal/shown). Its state is kept here and given back
 * with each question, so a core that is started anew, or the laptop's, goes on
 * where the other was. What stands is about one subject: with another on the pan
 * it goes at once, whoever may be asked.
 */
export class LiveVerdict {
  /** The verdict of the coin on the pan. */
  readonly current: Signal<Shown | null> = signal(null);
  /** The verdict of the coin before, or of this one before it moved, for when there is none. */
  readonly last: Signal<Shown | null> = signal(null);
  /** Why the coin on the pan can't be judged, such as a year that coin wasn't struck in. */
  readonly fault: Signal<CoreFault | null> = signal(null);

  private core: CoreClient;
  private onFrame: OnFrame;
  private now: () => number;
  private state: unknown = null;
  private view: View = emptyGlass;
  private refusal: CoreFault | null = null;
  /** Verdicts that the core may still name, by the number of their question. */
  private verdicts = new Map<number, Shown>();
  private lastNumber = 0;
  private number = 0;
  private on: Subject | null = null;
  /** The core hasn't heard yet what lies on the pan. */
  private untold = false;
  private newest: { load: Load; at: number } | null = null;
  private asking = false;
  private asked: Load | null = null;
  private framed = false;

  constructor(core: CoreClient, onFrame: OnFrame, now: () => number) {
    this.core = core;
    this.onFrame = onFrame;
    this.now = now;
  }

  /** The newest estimate of a load. */
  take(load: Load): void {
    const on = subjectOf(load);
    if (!sameSubject(on, this.on)) this.turnTo(on);
    if (this.asked && sameEstimate(this.asked, load) && !this.isNews(load)) return;
    this.newest = { load, at: this.now() };
    void this.ask();
  }

  /** There is no load to judge: the pan is empty, or the weight can't be trusted. */
  clear(): void {
    if (!this.on) return;
    this.turnTo(null);
    void this.ask();
  }

  /** Judges all that stands again, for a core that speaks another language now. */
  async sayAgain(): Promise<void> {
    for (const [n, was] of [...this.verdicts]) {
      const again = await inWords(this.core, was);
      if (!again || this.verdicts.get(n) !== was) continue;
      this.verdicts.set(n, again);
      for (const place of [this.current, this.last]) if (place.peek() === was) place.value = again;
    }
    const lifted = this.last.peek(); // may have been judged again when something was found out about it
    if (!lifted || [...this.verdicts.values()].includes(lifted)) return;
    const again = await inWords(this.core, lifted);
    if (again && this.last.peek() === lifted) this.last.value = again;
  }

  /** An estimate that hasn't changed is worth asking about again if an answer waits to be confirmed by it. */
  private isNews(load: Load): boolean {
    return this.view.waiting && this.asked?.message !== load.message;
  }

  private turnTo(on: Subject | null): void {
    batch(() => {
      this.current.value = null;
      this.fault.value = null;
      if (on?.load !== this.on?.load) this.setLast(this.view.after);
    });
    this.view = { ...emptyGlass, last: this.lastNumber, after: this.lastNumber };
    this.on = on;
    this.untold = true;
    this.newest = null;
    this.asked = null;
  }

  private async ask(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    while (this.newest || this.untold) {
      const { newest, on } = this;
      this.newest = null;
      this.untold = false;
      const n = ++this.number;
      if (newest) this.asked = newest.load;
      const answer = await this.core.call("shown", {
        state: this.state,
        on,
        ...(newest && {
          question: newest.load.question,
          n,
          at_ms: newest.at,
          settled: newest.load.settled,
        }),
      });
      const step = "ok" in answer ? readShown(answer.ok) : null;
      if (step) this.heard(step, n, newest?.load ?? null);
      else this.unheard("error" in answer ? answer.error : { code: "internal", sentence: "" }, on);
    }
    this.asking = false;
  }

  private heard(step: ShownStep, n: number, load: Load | null): void {
    this.state = step.state;
    if (load && step.verdict) {
      const { placement, settled, question } = load;
      this.verdicts.set(n, {
        verdict: step.verdict,
        placement,
        settled,
        question,
        asked: askedFor(question),
      });
    }
    const { now, last, after } = step.view;
    for (const old of this.verdicts.keys()) {
      if (old !== now && old !== last && old !== after) this.verdicts.delete(old);
    }
    if (!sameSubject(step.view.of, this.on)) {
      // Too late: it is about what has gone, and what lies there now is told next.
      if (step.view.of?.load !== this.on?.load) this.setLast(after);
      this.view = { ...emptyGlass, last: this.lastNumber, after: this.lastNumber };
      return;
    }
    this.view = step.view;
    this.refusal = step.refusal;
    if (step.refusal) this.asked = null; // the same estimate may be asked again, and answered
    if (this.framed) return;
    this.framed = true;
    this.onFrame(() => this.draw());
  }

  /** Nobody could be asked, or nobody understood: what the core knew may be lost, what stands stays. */
  private unheard(fault: CoreFault, on: Subject | null): void {
    if (fault.code !== nobodyAnswers) this.state = null;
    if (!sameSubject(on, this.on)) return;
    this.asked = null;
    // A lost line says nothing against a verdict already given on this coin.
    if (!on || (fault.code === nobodyAnswers && this.current.value)) return;
    batch(() => {
      this.current.value = null;
      this.fault.value = fault;
    });
  }

  private draw(): void {
    this.framed = false;
    if (!sameSubject(this.view.of, this.on)) return; // it has gone since
    batch(() => {
      this.current.value = this.verdicts.get(this.view.now) ?? null;
      this.fault.value = this.refusal;
      this.setLast(this.view.last);
    });
  }

  /** Only a new last verdict is put there: whoever found out more about a lifted coin has put its own there meanwhile. */
  private setLast(n: number): void {
    if (n === this.lastNumber) return;
    this.lastNumber = n;
    this.last.value = this.verdicts.get(n) ?? null;
  }
}

/** The same verdict in the words of now; null if it couldn't be had. */
export async function inWords(core: Pick<CoreClient, "call">, shown: Shown): Promise<Shown | null> {
  const answer = await core.call("judge", shown.question);
  const verdict = "ok" in answer ? readVerdict(answer.ok) : null;
  return verdict && { ...shown, verdict };
}

const subjectOf = (load: Load): Subject => ({ load: load.placement, asked: askedFor(load.question) });

const sameSubject = (a: Subject | null, b: Subject | null): boolean =>
  a?.load === b?.load && a?.asked === b?.asked;

const sameEstimate = (a: Load, b: Load): boolean =>
  a.settled === b.settled &&
  sameSubject(subjectOf(a), subjectOf(b)) &&
  a.question.mean_g === b.question.mean_g &&
  a.question.u_g === b.question.u_g &&
  a.question.resolution_g === b.question.resolution_g;
