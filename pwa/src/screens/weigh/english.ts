/** The lang of words that a sheet has in English only, among its others; none for what is translated. */
export const langOf = (l: { english: string[] }, ...fields: string[]): "en" | undefined =>
  fields.some((f) => l.english.includes(f)) ? "en" : undefined;
