import { useSignal } from "@preact/signals";
import { Refusal } from "../../laptop/api";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { Entry } from "../form/controls";

/** The name under which the laptop lists this device. */
export function DeviceName({ name }: { name: string }) {
  const app = useApp();
  const typed = useSignal(name);
  const said = useSignal("");

  async function save(e: Event) {
    e.preventDefault();
    try {
      const me = await app.api.rename(typed.value);
      app.session.refresh(me);
      typed.value = me.device.name;
      said.value = text.settings.saved;
    } catch (cause) {
      said.value = (cause instanceof Refusal && cause.sentence) || text.settings.saveFailed;
    }
  }

  return (
    <form class="device-name" onSubmit={(e) => void save(e)}>
      <Entry
        name="device-name"
        label={text.settings.name}
        mode="text"
        most={40}
        value={typed.value}
        onType={(name) => {
          typed.value = name;
          said.value = "";
        }}
      />
      <button type="submit" class="button">
        {text.settings.save}
      </button>
      <p class="quiet" role="status">
        {said.value}
      </p>
    </form>
  );
}
