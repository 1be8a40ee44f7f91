import type { Verdict } from "../core/types";

/** How long a new answer must hold before it replaces nothing, or another. In ms. */
export const holdMovingMs = 150;
/** From when on a second estimate confirms an answer where nothing was shown. In ms. */
export const confirmsMs = 50;
export const holdSettledMs = 300;

/**
 * Keeps the verdict from flickering. While a load settles the core's answer
 * may change with every reading; what is shown changes only when the new answer
 * has held for a moment, or stands where nothing was and another estimate says
 * the same. When several others come in turn, nothing is sure and nothing shown.
 * “Can't tell” of a load in motion shows as nothing yet, for it will often clear
 * up by itself. A load that has rested and moves again
 * may be another coin by now: its verdict goes off the glass until there is rest
 * again. The figures inside an unchanged verdict follow at once. The first
 * answer to a load at rest is shown at once.
 */
export class Steady {
  private shown: Verdict | null = null;
  private rested = false;
  /** Since when the answers have been others than the shown one. */
  private doubt: number | null = null;
  private next: { answer: Verdict | null; since: number; estimate: string } | null = null;

  /** A new load or a new question: nothing is shown of the old one. */
  reset(): void {
    this.shown = null;
    this.rested = false;
    this.doubt = null;
    this.next = null;
  }

  /**
   * Takes the newest verdict and returns the one to show, null for none. now in
   * ms; estimate names the estimate that was judged.
   */
  offer(verdict: Verdict, settled: boolean, now: number, estimate: string): Verdict | null {
    const doubtful = !settled && (this.rested || verdict.call === "cannot-tell");
    const answer = doubtful ? null : verdict;
    const firstRest = settled && (!this.rested || !this.shown);
    this.rested ||= settled;
    if (firstRest || same(this.shown, answer)) return this.show(answer);
    this.doubt ??= now;
    if (!this.next || !same(this.next.answer, answer)) this.next = { answer, since: now, estimate };
    const held = now - this.next.since;
    const confirmed = held >= confirmsMs && estimate !== this.next.estimate;
    if (this.shown ? held >= holdSettledMs : confirmed || held >= holdMovingMs) return this.show(answer);
    if (now - this.doubt >= holdSettledMs) this.shown = null;
    return this.shown;
  }

  private show(answer: Verdict | null): Verdict | null {
    this.shown = answer;
    this.doubt = null;
    this.next = null;
    return answer;
  }
}

/** The same answer, though a weight named in it may have moved by a digit. */
function same(a: Verdict | null, b: Verdict | null): boolean {
  if (!a || !b) return a === b;
  return a.call === b.call && bare(a.headline) === bare(b.headline);
}

const bare = (headline: string): string => headline.replace(/\d+(\.\d+)? g/g, "");
