import { fields, list, words } from "./json";

/** What is known of a kind on some years of a denomination. */
export interface Dated {
  /** “1955”, “1942-1945”. */
  years: string;
  /** “-” for no mark; empty for all. */
  mints: string[];
  name: string;
  side: string;
  where: string;
  see: string;
  rarity: string;
  /** Which of these words are English, since the book's language has none. */
  english: string[];
}

export function readDated(x: unknown): Dated[] {
  return list(fields(x).dates).flatMap((d) => {
    const f = fields(d);
    const years = words(f.years);
    const { name, side, where, see, rarity } = f;
    const mints = list(f.mints).map(words).filter(Boolean);
    return years
      ? [
          {
            years,
            mints,
            name: words(name),
            side: words(side),
            where: words(where),
            see: words(see),
            rarity: words(rarity),
            english: list(f.english).map(words),
          },
        ]
      : [];
  });
}

/** The coin of a date, as far as it names one year and one mint. */
export function coinOn(d: Dated): { year?: number; mint?: string } {
  const [mint] = d.mints;
  return {
    ...(/^\d{4}$/.test(d.years) && { year: Number(d.years) }),
    ...(mint && d.mints.length === 1 && { mint }),
  };
}
