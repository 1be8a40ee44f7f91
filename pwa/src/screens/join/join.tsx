import { deviceKind } from "../../laptop/invitation";
import type { SessionState } from "../../laptop/session";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { I } from "../../view/icons";
import { LanguageChoice } from "../form/language";

/** For a device that isn't in: joining just now, or how to. */
export function JoinScreen() {
  const app = useApp();
  const state = app.session.state.value;
  if (state.at === "joining") {
    return (
      <main class="join" data-screen="join">
        <Name />
        <p class="join-now" role="status">
          {text.join.joining}
        </p>
      </main>
    );
  }
  if (state.at !== "out") return null;
  return (
    <main class="join" data-screen="join">
      <Name />
      <h1>{text.join.title}</h1>
      <Fault state={state} />
      <JoinWays />
      <LanguageChoice />
    </main>
  );
}

/** How a phone and the laptop itself get in. */
export function JoinWays() {
  return (
    <>
      <div class="join-ways">
        <Way icon="phone" title={text.join.phoneTitle} steps={text.join.phoneSteps} />
        <Way icon="laptop" title={text.join.laptopTitle} steps={text.join.laptopSteps} />
      </div>
      <p class="quiet">{text.join.once}</p>
    </>
  );
}

function Name() {
  return <p class="name">{text.appName}</p>;
}

function Fault({ state }: { state: Extract<SessionState, { at: "out" }> }) {
  const app = useApp();
  if (!state.fault) return null;
  const invitation = state.invitation;
  return (
    <div class="problem-box" role="alert" data-part="join-fault" data-fault={state.fault}>
      <I name="warning" />
      <p>{state.sentence || text.join[state.fault]}</p>
      {invitation && (
        <button
          type="button"
          class="button"
          data-do="join-again"
          onClick={() => {
            const kind = deviceKind(navigator.userAgent, navigator.maxTouchPoints);
            void app.laptop.join(invitation, text.deviceNames[kind]);
          }}
        >
          {text.join.again}
        </button>
      )}
    </div>
  );
}

function Way({ icon, title, steps }: { icon: "phone" | "laptop"; title: string; steps: string[] }) {
  return (
    <section class="join-way">
      <h2>
        <I name={icon} />
        {title}
      </h2>
      <ol>
        {steps.map((s) => (
          <li key={s}>{s}</li>
        ))}
      </ol>
    </section>
  );
}
