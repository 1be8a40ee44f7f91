import { effect, type Signal } from "@preact/signals";
import type { CoreClient } from "../core/client";
import { readVerdict } from "../core/read";
import type { JudgeQuestion } from "../core/types";
import { type Evidence, isEmpty } from "./evidence";
import { askedFor, type Shown } from "./live-verdict";

/** Where a verdict stands, of the coin on the pan and of the last one. */
interface Glass {
  current: Signal<Shown | null>;
  last: Signal<Shown | null>;
}

/**
 * Judges a lifted coin again when something is found out about it, since magnet,
 * edge and calipers want it in the hand, not on the pan; and when the hunter
 * wants something else than before.
 */
export function judgeLiftedAgain(
  core: Pick<CoreClient, "call">,
  evidence: Evidence,
  glass: () => Glass,
  hunter: () => Pick<JudgeQuestion, "keep" | "source"> = () => ({}),
): () => void {
  let turn = 0;
  return effect(() => {
    const given = evidence.given.value;
    const wants = hunter();
    const { current, last } = glass();
    const on = current.value;
    const lifted = last.value;
    const mine = ++turn;
    if (on || !lifted || lifted.placement !== evidence.coin) return;
    const { evidence: _, keep: __, source: ___, ...question } = lifted.question;
    const now = { ...question, ...wants, ...(isEmpty(given) ? {} : { evidence: given }) };
    const asked = askedFor(now);
    if (asked === lifted.asked) return;
    void core.call("judge", now).then((answer) => {
      const verdict = "ok" in answer ? readVerdict(answer.ok) : null;
      if (mine !== turn || !verdict) return;
      last.value = { ...lifted, verdict, question: now, asked };
    });
  });
}
