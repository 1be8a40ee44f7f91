import { text } from "../../text";
import { PracticePanel } from "../practice/practice";
import { Sheet } from "./sheet";

/** The practice pan on a phone. */
export function PracticeSheet() {
  return (
    <Sheet name="practice" title={text.practice.title}>
      <PracticePanel />
    </Sheet>
  );
}
