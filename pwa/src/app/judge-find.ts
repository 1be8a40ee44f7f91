import type { CoreClient } from "../core/client";
import { gistOf } from "../core/gist";
import type { Find } from "../core/journal";
import { readVerdict } from "../core/read";
import type { JudgeQuestion, Verdict } from "../core/types";

/** What a find is judged by, with what was found out beside its weight; null where it has no coin or no weight. */
function questionOf(
  find: Find,
  evidence: Record<string, string>,
  hunter: Pick<JudgeQuestion, "keep" | "source">,
): JudgeQuestion | null {
  const { coin, weight } = find;
  const { mean_g, u_g, resolution_g } = weight ?? {};
  if (!coin || !mean_g || !u_g || !resolution_g) return null;
  return {
    country: coin.country,
    denomination: coin.denomination,
    year: coin.year ?? 0,
    mint: coin.mint ?? "",
    mean_g,
    u_g,
    resolution_g,
    ...hunter,
    ...(Object.keys(evidence).length > 0 && { evidence }),
  };
}

/** The verdict on a find with that evidence; null where there can be none. */
export async function judgeFind(
  core: Pick<CoreClient, "call">,
  find: Find,
  evidence: Record<string, string>,
  hunter: Pick<JudgeQuestion, "keep" | "source"> = {},
): Promise<Verdict | null> {
  const question = questionOf(find, evidence, hunter);
  if (!question) return null;
  const answer = await core.call("judge", question);
  return "ok" in answer ? readVerdict(answer.ok) : null;
}

/** What evidence, and the verdict that follows from it, are written as. */
export function claimFields(
  evidence: Record<string, string>,
  verdict: Verdict | null,
): Record<string, unknown> {
  return { evidence, ...(verdict && { verdict, gist: gistOf(verdict) }) };
}
