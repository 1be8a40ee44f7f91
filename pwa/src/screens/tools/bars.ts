import type { RollAnswer } from "../../core/weighings";

/** One bar: the numbers from first to last have this probability together. */
export interface Bar {
  first: number;
  last: number;
  probability: number;
  /** Whether it touches the 95 % interval. */
  inside: boolean;
}

/** The distribution as at most so many bars; tails too thin to be drawn are left off. */
export function barsOf(a: RollAnswer, most: number): Bar[] {
  const highest = Math.max(...a.probability, 0);
  if (!(highest > 0)) return [];
  const seen = (i: number) => (a.probability[i] ?? 0) >= highest / 200;
  let first = 0;
  let last = a.probability.length - 1;
  // The interval is always drawn, however thin its ends.
  while (!seen(first) && a.from + first < a.low) first++;
  while (!seen(last) && a.from + last > a.high) last--;
  const width = Math.ceil((last - first + 1) / most);
  const bars: Bar[] = [];
  for (let i = first; i <= last; i += width) {
    const end = Math.min(i + width - 1, last);
    const probability = a.probability.slice(i, end + 1).reduce((sum, p) => sum + p, 0);
    bars.push({
      first: a.from + i,
      last: a.from + end,
      probability,
      inside: a.from + end >= a.low && a.from + i <= a.high,
    });
  }
  return bars;
}
