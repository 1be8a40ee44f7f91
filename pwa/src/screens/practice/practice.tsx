import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { type PracticeMove, type PracticePan, Refusal } from "../../laptop/api";
import { text } from "../../text";
import { useApp } from "../../view/context";

const lookEveryMs = 3000;

/** Moves the coins of the demo tray on the virtual scale, and makes its troubles. */
export function PracticePanel() {
  const app = useApp();
  const pan = useSignal<PracticePan | null>(null);
  const fault = useSignal("");

  useEffect(() => {
    // Another phone, or the demo's script, may move coins too.
    const look = () =>
      app.api.practice().then(
        (p) => {
          pan.value = p;
        },
        () => {},
      );
    void look();
    const timer = setInterval(look, lookEveryMs);
    return () => clearInterval(timer);
  }, [app, pan]);

  async function move(m: PracticeMove) {
    try {
      pan.value = await app.api.practice(m);
      fault.value = "";
    } catch (cause) {
      fault.value = (cause instanceof Refusal && cause.sentence) || text.practice.failed;
    }
  }

  const p = pan.value;
  return (
    <div class="practice">
      <p class="quiet">{text.practice.intro}</p>
      {fault.value && (
        <p class="problem" role="alert">
          {fault.value}
        </p>
      )}
      <h3>{text.practice.pan}</h3>
      {!p || p.pan.length === 0 ? (
        <p class="quiet on-pan">{text.practice.emptyPan}</p>
      ) : (
        <ul class="plain on-pan">
          {p.pan.map((c, i) => (
            <li key={`${c.id}/${i}`}>
              <span>{c.name}</span>
              {c.grams && <span class="quiet figures">{text.practice.grams(c.grams)}</span>}
              <button
                type="button"
                class="button"
                data-do="lift"
                data-coin={c.id}
                aria-label={text.practice.liftLabel(c.name)}
                onClick={() => move({ do: "lift", coin: c.id })}
              >
                {text.practice.lift}
              </button>
            </li>
          ))}
        </ul>
      )}
      {p && p.pan.length > 0 && <Acts title="" acts={[["clear", text.practice.clear]]} move={move} />}
      <h3>{text.practice.tray}</h3>
      <ul class="plain tray">
        {(p?.tray ?? []).map((c) => (
          <li key={c.id}>
            <button
              type="button"
              class="tray-coin"
              data-do="put"
              data-coin={c.id}
              disabled={p?.pan.some((on) => on.id === c.id)}
              onClick={() => move({ do: "put", coin: c.id })}
            >
              <span>{c.name}</span>
              {c.note && <span class="quiet">{c.note}</span>}
            </button>
          </li>
        ))}
      </ul>
      <Acts
        title={text.practice.handle}
        acts={[
          ["bump", text.practice.bump],
          ["tare", text.practice.tare],
        ]}
        move={move}
      />
      <Acts
        title={text.practice.trouble}
        acts={[
          ["unplug", text.practice.unplug],
          ["plug", text.practice.plug],
          ["garbage", text.practice.garbage],
        ]}
        move={move}
      />
    </div>
  );
}

type Act = Exclude<PracticeMove["do"], "put" | "lift">;

function Acts(props: { title: string; acts: [Act, string][]; move(m: PracticeMove): void }) {
  return (
    <>
      {props.title && <h3>{props.title}</h3>}
      <p class="acts">
        {props.acts.map(([act, word]) => (
          <button
            key={act}
            type="button"
            class="button"
            data-do={act}
            onClick={() => props.move({ do: act })}
          >
            {word}
          </button>
        ))}
      </p>
    </>
  );
}
