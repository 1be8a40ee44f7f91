import type { Written } from "../../core/journal";

/** Writes some fields of a record as it is on the screen; null if that failed. */
export type Save = (set: Record<string, unknown>) => Promise<Written | null>;
