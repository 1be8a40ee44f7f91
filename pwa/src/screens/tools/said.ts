import type { Shown } from "../../weigh/judging";

/** What the weighing says to the identification key: the coin, the hint and the likeliest explanation. */
export function saidByScale(shown: Shown | null) {
  if (!shown?.settled) return {};
  const { country, denomination, year, mint } = shown.question;
  const likeliest = shown.verdict.explanations[0];
  const explanations = likeliest?.speaks ? [likeliest.kind] : [];
  return { country, denomination, year, mint, hint: shown.verdict.hint, explanations };
}
