import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { text } from "../../text";
import { useApp } from "../../view/context";

/** Where the laptop is that this device belongs to, and the way to leave it. */
export function LaptopPart() {
  const app = useApp();
  const asking = useSignal(false);
  const fault = useSignal("");
  const stay = useRef<HTMLButtonElement>(null);
  const ask = asking.value;
  useEffect(() => {
    if (ask) stay.current?.focus();
  }, [ask]);
  if (app.session.state.value.at !== "joined") return null;

  async function leave() {
    const refusal = await app.laptop.leave();
    if (refusal) fault.value = refusal.sentence || text.laptop.leaveFailed;
  }

  return (
    <section class="leave" data-part="laptop">
      <dl class="facts">
        <div>
          <dt>{text.laptop.addressTitle}</dt>
          <dd data-part="whereabouts">{where(app.laptop.whereabouts.found.value)}</dd>
        </div>
      </dl>
      {fault.value && (
        <p class="problem" role="alert">
          {fault.value}
        </p>
      )}
      {!ask && (
        <button
          type="button"
          class="button"
          data-do="leave"
          onClick={() => {
            asking.value = true;
          }}
        >
          {text.laptop.leave}
        </button>
      )}
      {ask && (
        <div role="group" aria-label={text.laptop.leave}>
          <p>{text.laptop.leaveAsk}</p>
          <p class="acts">
            <button type="button" class="button danger" data-do="leave-yes" onClick={() => void leave()}>
              {text.laptop.leaveYes}
            </button>
            <button
              type="button"
              class="button"
              data-do="leave-no"
              ref={stay}
              onClick={() => {
                asking.value = false;
                fault.value = "";
              }}
            >
              {text.laptop.leaveNo}
            </button>
            {fault.value && (
              <button
                type="button"
                class="button danger"
                data-do="forget"
                onClick={() => app.session.forget("left")}
              >
                {text.laptop.forget}
              </button>
            )}
          </p>
        </div>
      )}
    </section>
  );
}

type Found = ReturnType<typeof useApp>["laptop"]["whereabouts"]["found"]["value"];

function where(found: Found): string {
  switch (found?.is) {
    case "here":
      return text.laptop.here;
    case "moved":
      return text.laptop.moved(new URL(found.base).host);
    case "stranger":
      return text.laptop.stranger;
    default:
      return text.laptop.silent;
  }
}
