import { text } from "../../text";

export type Support = keyof typeof text.explanations.support;

/** The word for how strongly a likelihood ratio of 2 or more speaks for an explanation. */
export function supportOf(ratio: number): Support {
  if (ratio < 10) return "weak";
  if (ratio < 100) return "moderate";
  if (ratio < 1000) return "moderatelyStrong";
  if (ratio < 10_000) return "strong";
  return "veryStrong";
}

/** A likelihood ratio against ordinary wear and damage, in words. */
export function ratioWords(ratio: number): string {
  if (ratio >= 2)
    return `${text.explanations.likelier(ratio)} (${text.explanations.support[supportOf(ratio)]})`;
  if (ratio > 1 / 2) return text.explanations.equal;
  return text.explanations.lessLikely(ratio);
}
