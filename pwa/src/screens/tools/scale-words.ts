import type { KitWeight } from "../../scale/scale-record";
import { text } from "../../text";
import { locale } from "../../text/writing";

/** A date as a person writes it; an unreadable one is empty. */
export function dayText(rfc3339: string): string {
  const at = Date.parse(rfc3339);
  return Number.isFinite(at) ? new Date(at).toLocaleDateString(locale.value, { dateStyle: "long" }) : "";
}

export const sinceText = (days: number): string => (days < 1 ? text.scale.today : text.scale.daysAgo(days));

/** What the person calls a weight of the kit. */
export function weightName(w: KitWeight | undefined): string {
  if (!w || (!w.nominal && !w.value)) return text.scale.object1;
  return text.scale.weight(w.nominal || w.value, w.class);
}
