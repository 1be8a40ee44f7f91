import type { Shown } from "../../store/judging";

/** From here on an explanation speaks for itself: times likelier than ordinary wear or damage. */
const speaks = 10;

/** What the weighing says to the identification key: the coin, the hint and the likeliest explanation. */
export function saidByScale(shown: Shown | null) {
  if (!shown?.settled) return {};
  const { country, denomination, year, mint } = shown.question;
  const likeliest = shown.verdict.explanations[0];
  const explanations = likeliest && (likeliest.likelihood_ratio ?? 0) >= speaks ? [likeliest.kind] : [];
  return { country, denomination, year, mint, hint: shown.verdict.hint, explanations };
}
