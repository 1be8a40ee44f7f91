import { useEffect } from "preact/hooks";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { ToolPage, toWeighing } from "./page";
import { ScaleCableScreen } from "./scale-cable";
import { ScaleCheckScreen } from "./scale-check";
import { guideOf } from "./scale-guide-of";
import { RadioCard } from "./scale-radio";
import { WorthTable } from "./scale-result";
import { UnitCard } from "./scale-unit";
import { dayText, sinceText } from "./scale-words";
import "./scale.css";

/** The scale itself: how far it errs, and how it is found and read. */
export function ScaleScreen({ rest }: { rest: string }) {
  switch (rest) {
    case "check":
      return <ScaleCheckScreen />;
    case "cable":
      return <ScaleCableScreen />;
    default:
      return <Overview />;
  }
}

function Overview() {
  const app = useApp();
  useEffect(() => void app.keptCheck.look(), [app]);
  const kept = app.keptCheck.kept.value;
  const r = app.live.reading.value;
  const live = "scale" in r ? r.scale : null;
  const guide = guideOf(app);
  const begun = guide.draft.value.readings.length > 0;
  const check = kept?.check;
  return (
    <ToolPage tool="scale" title={text.toolbox.names.scale} back={toWeighing()}>
      {live?.format ? (
        <p data-part="scale-now">{text.scale.readsAs(live.name, live.format)}</p>
      ) : (
        <p class="quiet">{kept?.scale ? text.scale.noneConnected : text.scale.noneEver}</p>
      )}
      <div role="status" data-part="kept">
        {guide.keptFor.value && (
          <p>{guide.keptFor.value === "connected" ? text.scale.kept : text.scale.keptTyped}</p>
        )}
      </div>
      <UnitCard />
      <section
        class="card scale-truth"
        aria-labelledby="truth-title"
        data-part="scale-truth"
        data-old={check?.result.age?.old || undefined}
      >
        <h2 id="truth-title">{text.scale.truthTitle}</h2>
        {check ? (
          <>
            <p>
              {text.scale.checked(dayText(check.taken))}{" "}
              <span class="quiet">({sinceText(check.result.age?.days ?? 0)})</span>
            </p>
            {check.result.age?.reasons.map((reason) => (
              <p key={reason} class="scale-old">
                {reason}
              </p>
            ))}
            <WorthTable byLoad={check.result.byLoad} />
            <ul class="care findings">
              {check.result.findings.map((f) => (
                <li key={f}>{f}</li>
              ))}
            </ul>
          </>
        ) : (
          <p>{text.scale.never}</p>
        )}
        <p class="acts">
          <a class="button main link-button" href={addressOf("scale", "check")} data-do="check">
            {begun ? text.scale.checkGoOn : check ? text.scale.checkAgain : text.scale.check}
          </a>
        </p>
      </section>
      <section class="card" aria-labelledby="cable-title">
        <h2 id="cable-title">{text.scale.cableTitle}</h2>
        <p>{text.scale.cableHint}</p>
        <p class="acts">
          <a class="button link-button" href={addressOf("scale", "cable")} data-do="cable">
            {text.scale.cable}
          </a>
        </p>
      </section>
      <RadioCard />
    </ToolPage>
  );
}
