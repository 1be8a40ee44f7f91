import { text } from "../../text";

/** “4:07” for 247 seconds. */
export function clockText(seconds: number): string {
  const s = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
}

/** How long ago, in the roughest fitting unit. An unreadable or unset time is “not seen yet”. */
export function agoText(rfc3339: string | null, nowMs: number): string {
  const then = rfc3339 === null ? Number.NaN : Date.parse(rfc3339);
  // A server that has never seen a device sends the year 1.
  if (!Number.isFinite(then) || then < 0) return text.desk.never;
  const minutes = Math.floor((nowMs - then) / 60_000);
  if (minutes < 1) return text.desk.justNow;
  if (minutes < 60) return text.desk.minutes(minutes);
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return text.desk.hours(hours);
  return text.desk.days(Math.floor(hours / 24));
}
