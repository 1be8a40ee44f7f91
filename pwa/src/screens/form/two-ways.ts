import { twoReadings } from "../../core/plain-number";
import { text } from "../../text";
import { decimalSign } from "../../text/languages";
import { locale } from "../../text/writing";

/** What to say of a typed number that may be a thousand times another; empty if it reads one way. */
export function twoWays(typed: string): string {
  const ways = twoReadings(typed, decimalSign(locale.value));
  return ways ? text.typed.twoWays(typed.trim(), ways.decimal, ways.whole) : "";
}
