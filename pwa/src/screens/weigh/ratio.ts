import type { Explanation } from "../../core/types";
import { text } from "../../text";

/** How strongly the weight speaks for an explanation, against ordinary wear and damage; empty if nobody says. */
export function supportWords({ likelihood_ratio: ratio, support }: Explanation): string {
  if (ratio === null || support === null) return "";
  if (support === "equal") return text.explanations.equal;
  if (support === "less") return text.explanations.lessLikely(ratio);
  return `${text.explanations.likelier(ratio)} (${text.explanations.support[support]})`;
}
