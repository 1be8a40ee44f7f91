import type { By } from "../../core/journal";
import { text } from "../../text";

/** Which phone it was, within a sentence: “Sam’s phone”, “this phone”, “another phone”. */
export function byWords(by: By | undefined, onDesk: boolean): string {
  if (by?.here) return text.finds.thisPhone(onDesk);
  return by?.name || text.finds.anotherPhone;
}
