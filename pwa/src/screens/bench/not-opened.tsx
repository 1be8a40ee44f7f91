import type { Trouble } from "../../records/trouble";
import { text } from "../../text";
import { troubleText } from "../weigh/trouble-words";

/** Why a picture can't be looked at. */
export function NotOpened({ trouble }: { trouble: Trouble }) {
  return (
    <div class="problem-box" role="alert" data-part="trouble">
      <p>{trouble.is === "photo" ? text.bench.troubles[trouble.trouble] : troubleText(trouble)}</p>
    </div>
  );
}
