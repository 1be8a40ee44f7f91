/** A text's first sentence, which is read at a glance, and all that follows it; empty if nothing does. */
export function firstSentence(text: string): [first: string, rest: string] {
  const end = text.search(/\. \p{Lu}/u);
  return end < 0 ? [text, ""] : [text.slice(0, end + 1), text.slice(end + 2)];
}
