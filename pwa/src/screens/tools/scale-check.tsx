import { effect } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import type { ScaleGuide } from "../../scale/scale-guide";
import { text } from "../../text";
import { useApp } from "../../view/context";
import { addressOf } from "../../view/places";
import { ToolPage } from "./page";
import { guideOf } from "./scale-guide-of";
import { KitForm } from "./scale-kit";
import { CheckResult } from "./scale-result";
import { Further, LeftAlone, Weighing } from "./scale-weighing";

/** A check of the scale with check weights, step by step. */
export function ScaleCheckScreen() {
  const app = useApp();
  const guide = useMemo(() => guideOf(app), [app]);
  // Readings are taken while the page is shown, and only then.
  useEffect(
    () =>
      effect(() => {
        const r = app.live.reading.value;
        const hands = app.hands.on.value;
        if (!hands) guide.live(r, performance.now());
      }),
    [app, guide],
  );
  const { at } = guide.draft.value;
  const titles = {
    kit: text.scale.kitTitle,
    middle: text.scale.weighTitle,
    further: text.scale.furtherTitle,
    edges: text.scale.edgesTitle,
    alone: text.scale.aloneTitle,
    result: text.scale.resultTitle,
  };
  return (
    <ToolPage tool="scale" title={titles[at]} back={{ href: addressOf("scale"), words: text.scale.back }}>
      {app.hands.on.value && at !== "kit" && at !== "result" && (
        <p class="problem" role="alert">
          {text.scale.handsOn}
        </p>
      )}
      <Part guide={guide} />
    </ToolPage>
  );
}

function Part({ guide }: { guide: ScaleGuide }) {
  switch (guide.draft.value.at) {
    case "kit":
      return <KitForm guide={guide} />;
    case "middle":
    case "edges":
      return <Weighing guide={guide} />;
    case "further":
      return <Further guide={guide} />;
    case "alone":
      return <LeftAlone guide={guide} />;
    case "result":
      return <CheckResult guide={guide} />;
  }
}
