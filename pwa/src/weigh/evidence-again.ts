import { effect, type Signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { readVerdict } from "../core/read";
import { type Evidence, isEmpty } from "./evidence";
import { askedFor, type Shown } from "./judging";

/** Where a verdict stands, on the glass or put aside. */
interface Glass {
  current: Signal<Shown | null>;
  last: Signal<Shown | null>;
}

/**
 * Judges a lifted coin again when something is found out about it: magnet,
 * edge and calipers want it in the hand, not on the pan.
 */
export function judgeLiftedAgain(
  core: Pick<CoreClient, "call">,
  evidence: Evidence,
  glass: () => Glass,
): () => void {
  let turn = 0;
  return effect(() => {
    const given = evidence.given.value;
    const { current, last } = glass();
    const on = current.value;
    const lifted = last.value;
    const mine = ++turn;
    if (on || !lifted || lifted.placement !== evidence.coin) return;
    const { evidence: _, ...question } = lifted.question;
    const now = isEmpty(given) ? question : { ...question, evidence: given };
    const asked = askedFor(now);
    if (asked === lifted.asked) return;
    void core.call("judge", now).then((answer) => {
      const verdict = "ok" in answer ? readVerdict(answer.ok) : null;
      if (mine !== turn || !verdict) return;
      last.value = { ...lifted, verdict, question: now, asked };
    });
  });
}
