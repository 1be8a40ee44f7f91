import type { Call } from "../../core/types";
import { text } from "../../text";
import { Mark } from "../../view/icons";
import "./trophy.css";

/** What the weight called for when the coin was kept, by its mark and its word. */
export function CallBadge({ call }: { call: Call | undefined }) {
  if (!call) return null;
  return (
    <span class="call-badge" data-part="badge" data-call={call}>
      <Mark call={call} />
      <span>{text.call[call]}</span>
    </span>
  );
}
