import { text } from "../../text";
import { useApp } from "../../view/context";
import { Dock } from "./dock";
import { HandsDock, HandsPanel, HandsStart } from "./hands";
import { InspectList } from "./inspect";
import { VerdictCard } from "./verdict-card";
import { WeightPanel } from "./weight-panel";

/** The main screen: the weight, what it means, what to inspect, and the keys under the thumb. */
export function WeighScreen() {
  const { hands, typed } = useApp();
  if (hands.on.value && !typed.on.value) {
    return (
      <main class="weigh" data-screen="weigh" data-hands>
        <h1 class="unseen">{text.hands.title}</h1>
        <WeightPanel />
        <HandsPanel />
        <HandsDock />
      </main>
    );
  }
  return (
    <main class="weigh" data-screen="weigh">
      <h1 class="unseen">{text.nav.weigh}</h1>
      <WeightPanel />
      <div class="reading">
        {hands.offered.value ? <HandsStart /> : <VerdictCard />}
        <InspectList />
      </div>
      <Dock />
    </main>
  );
}
