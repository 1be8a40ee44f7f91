import type { Act } from "../../app/finds-door";
import type { Written } from "../../core/journal";

/** Writes some fields of a record as it is on the screen; null if that failed. */
export type Save = (set: Record<string, unknown>) => Promise<Written | null>;

/** The same, for the bar at the foot to call it what it was. */
export type Write = (what: Act["what"], set: Record<string, unknown>) => Promise<Written | null>;
