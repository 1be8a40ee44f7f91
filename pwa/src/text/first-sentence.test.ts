import { expect, test } from "vitest";
import { firstSentence } from "./first-sentence";

test.each([
  ["Bronze cent, 95% copper.", "Bronze cent, 95% copper.", ""],
  ["90% silver dime. Keep it.", "90% silver dime.", "Keep it."],
  ["Read the date. To 1942: bronze. Ask.", "Read the date.", "To 1942: bronze. Ask."],
  ["3.11 g matches a cent, wrong for 1943.", "3.11 g matches a cent, wrong for 1943.", ""],
  ["Does it stick? If it sticks: steel.", "Does it stick? If it sticks: steel.", ""],
  ["", "", ""],
])("%s", (text, first, rest) => {
  expect(firstSentence(text)).toEqual([first, rest]);
});
