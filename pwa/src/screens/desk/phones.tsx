import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { type Device, Refusal } from "../../laptop/api";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { agoText } from "./time";

const lookEveryMs = 5000;

/** The phones that have joined, when each was last seen, and the way to end one. */
export function PhonesPanel() {
  const app = useApp();
  const phones = useSignal<Device[] | null>(null);
  const failed = useSignal(false);
  const asking = useSignal("");
  const fault = useSignal("");
  const now = useSignal(Date.now());
  /** The device whose button gets the focus back after “keep it”. */
  const refocus = useRef("");

  useEffect(() => {
    const look = async () => {
      if (document.hidden) return;
      try {
        phones.value = await app.api.devices();
        failed.value = false;
      } catch {
        failed.value = true;
      }
      now.value = Date.now();
    };
    void look();
    const timer = setInterval(look, lookEveryMs);
    return () => clearInterval(timer);
  }, [app, phones, failed, now]);

  async function end(d: Device) {
    try {
      await app.api.endDevice(d.id);
      phones.value = (phones.value ?? []).filter((p) => p.id !== d.id);
      fault.value = "";
    } catch (cause) {
      fault.value = (cause instanceof Refusal && cause.sentence) || text.desk.endFailed;
    }
    asking.value = "";
  }

  const state = app.session.state.value;
  const me = state.at === "joined" ? state.device.id : "";
  const list = phones.value;
  return (
    <section class="panel phones" aria-labelledby="phones-title" data-part="phones">
      <h2 id="phones-title">{text.desk.phonesTitle}</h2>
      {fault.value && (
        <p class="problem" role="alert">
          {fault.value}
        </p>
      )}
      {failed.value && <p class="quiet">{text.desk.listFailed}</p>}
      {list && !list.some((d) => d.role === "phone") && <p class="quiet">{text.desk.noPhones}</p>}
      <ul class="plain">
        {(list ?? []).map((d) => (
          <li key={d.id} class="phone-row" data-device={d.id}>
            <I name={d.role === "desk" ? "laptop" : "phone"} />
            <span class="phone-name">
              {d.name}
              <span class="quiet">
                {d.id === me ? text.desk.thisOne : `${text.desk.lastSeen} ${agoText(d.last_seen, now.value)}`}
              </span>
            </span>
            {app.pan.holder.value === d.id && (
              <span class="tag" data-part="pan-holder">
                {text.pan.holds}
              </span>
            )}
            {d.id !== me && asking.value !== d.id && (
              <button
                type="button"
                class="button"
                data-do="end"
                ref={(button) => {
                  if (!button || refocus.current !== d.id) return;
                  refocus.current = "";
                  button.focus();
                }}
                aria-label={text.desk.endLabel(d.name)}
                onClick={() => {
                  asking.value = d.id;
                }}
              >
                {text.desk.end}
              </button>
            )}
            {asking.value === d.id && (
              <EndQuestion
                name={d.name}
                yes={() => void end(d)}
                no={() => {
                  asking.value = "";
                  refocus.current = d.id;
                }}
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Ending can't be undone from the laptop, so it is asked once, beside the phone it is about. */
function EndQuestion({ name, yes, no }: { name: string; yes(): void; no(): void }) {
  const keep = useRef<HTMLButtonElement>(null);
  useEffect(() => keep.current?.focus(), []);
  return (
    <div class="end-question" role="group" aria-label={text.desk.endLabel(name)}>
      <p>{text.desk.endAsk(name)}</p>
      <p class="acts">
        <button type="button" class="button danger" data-do="end-yes" onClick={yes}>
          {text.desk.endYes}
        </button>
        <button type="button" class="button" data-do="end-no" ref={keep} onClick={no}>
          {text.desk.endNo}
        </button>
      </p>
    </div>
  );
}
