import type { Api } from "../laptop/api";
import { Refusal } from "../laptop/api";

/** What the person says of a unit of the scale of that name; an empty unit takes it back. */
export interface UnitAnswer {
  scale: string;
  of: "unit" | "gr";
  unit: string;
}

/** Tells the laptop; null when it counts, else why not, “-” without a sentence. */
export async function sayUnit(api: Pick<Api, "exchange">, answer: UnitAnswer): Promise<string | null> {
  try {
    await api.exchange("PUT", "/api/v1/scale/unit", JSON.stringify(answer));
    return null;
  } catch (cause) {
    return (cause instanceof Refusal && cause.sentence) || "-";
  }
}
