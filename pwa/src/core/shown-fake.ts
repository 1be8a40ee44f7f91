import type { Subject } from "./types";

interface Asked {
  state: { of: Subject | null; now: number; last: number } | null;
  on: Subject | null;
  n: number;
  question?: Record<string, unknown>;
}

/**
 * Answers “shown” for tests that need no core: as the core does for loads at
 * rest, each of whose answers it shows at once. judge gives the verdict, or the
 * error. When a verdict waits is tested with the core itself (weigh/live-verdict.test.ts,
 * internal/shown).
 */
export function fakeShown(json: string, judge: (question: Record<string, unknown>) => unknown): string {
  const { state, on, question, n } = JSON.parse(json) as Asked;
  let { of, now, last } = state ?? { of: null, now: 0, last: 0 };
  if (on?.load !== of?.load) last = now || last;
  if (on?.load !== of?.load || on?.asked !== of?.asked) now = 0;
  of = on;
  let answer: { ok?: unknown; error?: unknown } = {};
  if (question && on) {
    answer = judge(question) as typeof answer;
    now = answer.error ? 0 : n;
  }
  const view = { of, now, last, after: now || last };
  return JSON.stringify({
    ok: { state: { of, now, last }, view, verdict: answer.ok, refusal: answer.error },
  });
}
