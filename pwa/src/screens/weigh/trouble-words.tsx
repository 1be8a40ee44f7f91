import type { Trouble } from "../../app/finds-door";
import { text } from "../../text";

export function troubleText(t: Trouble): string {
  switch (t.is) {
    case "store":
      return text.finds.store[t.trouble];
    case "photo":
      return text.finds.photoTrouble[t.trouble];
    case "no-core":
      return text.finds.noCore;
    case "core":
      return t.sentence || text.finds.failed;
  }
}

/** Why something wasn't saved. It stays until it is read. */
export function TroubleWords({ trouble, onDismiss }: { trouble: Trouble; onDismiss?: () => void }) {
  return (
    <div class="problem-box" role="alert" data-part="trouble">
      <p>{troubleText(trouble)}</p>
      {onDismiss && (
        <button type="button" class="field-button" onClick={onDismiss}>
          {text.finds.dismiss}
        </button>
      )}
    </div>
  );
}
