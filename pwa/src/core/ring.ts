import { fields, isNumber, list, number, oneOf, words } from "./json";

/** A metal of a denomination, and where it rings. */
export interface RungMetal {
  alloy: string;
  name: string;
  planchet: string;
  probability: number;
  /** Its partials, lowest first; empty where nothing is predicted. */
  hz: number[];
  /** Their relative standard deviation. */
  spread: number;
}

export const untoldReasons = ["not-rung", "one-metal", "scale", "several-fit", "none-fits"] as const;
export type Untold = (typeof untoldReasons)[number];

/** The answer of the core's method “ring”. */
export interface Told {
  /** The metal's id; empty where it can't be told. */
  alloy: string;
  why: Untold | null;
  metals: RungMetal[];
}

export function readTold(x: unknown): Told | null {
  const t = fields(x);
  if (!Array.isArray(t.metals)) return null;
  return {
    alloy: words(t.alloy),
    why: oneOf(untoldReasons, t.why) ?? null,
    metals: list(t.metals).flatMap((m) => {
      const f = fields(m);
      const [probability, spread] = [number(f.probability), number(f.spread)];
      if (probability === null || spread === null) return [];
      return [
        {
          alloy: words(f.alloy),
          name: words(f.name),
          planchet: words(f.planchet),
          probability,
          hz: list(f.hz).filter(isNumber),
          spread,
        },
      ];
    }),
  };
}

/** The lowest partial of a ring as evidence holds it, which is the text of an object; null for no such text. */
export function lowestOf(ring: string): number | null {
  try {
    return number(list(fields(JSON.parse(ring)).hz)[0]);
  } catch {
    return null;
  }
}
