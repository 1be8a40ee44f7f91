import { text } from "../../text";
import { JoinWays } from "../join/join";
import { Sheet } from "./sheet";

/** How a device that has joined once joins again. */
export function RejoinSheet() {
  return (
    <Sheet name="rejoin" title={text.laptop.rejoinTitle}>
      <p>{text.laptop.rejoinFirst}</p>
      <JoinWays />
    </Sheet>
  );
}
