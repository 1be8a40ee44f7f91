/** Writes some fields of a record as it is on the screen. */
export type Save = (set: Record<string, unknown>) => void;
