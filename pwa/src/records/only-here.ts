import { type PhoneDb, withDb } from "./db";

/** What is on this phone and nowhere else. */
export interface OnlyHere {
  finds: number;
  hunts: number;
  others: number;
  photos: number;
}

export const nothingOnlyHere: OnlyHere = { finds: 0, hunts: 0, others: 0, photos: 0 };

/** Counts it, and names the records with something that the laptop doesn't have. */
export function countOnlyHere(db: PhoneDb): Promise<{ counted: OnlyHere; unsent: ReadonlySet<string> }> {
  return withDb(db, async () => {
    const counted = { ...nothingOnlyHere };
    const unsent = new Set<string>();
    const keys = await db.entries
      .where("[sent+kind+record]")
      .between([0, "", ""], [0, "\uffff", "\uffff"])
      .uniqueKeys();
    for (const [, kind, record] of keys as unknown as [number, string, string][]) {
      if (kind === "phone") continue; // what it says of itself is nobody's record
      unsent.add(record);
      if (kind === "find") counted.finds++;
      else if (kind === "hunt") counted.hunts++;
      else counted.others++;
    }
    counted.photos = await db.photos.where("sent").equals(0).count();
    return { counted, unsent };
  });
}
