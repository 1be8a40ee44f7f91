import { text } from "../../text";
import { Dock } from "./dock";
import { InspectList } from "./inspect";
import { VerdictCard } from "./verdict-card";
import { WeightPanel } from "./weight-panel";

/** The main screen: the weight, what it means, what to inspect, and the keys under the thumb. */
export function WeighScreen() {
  return (
    <main class="weigh" data-screen="weigh">
      <h1 class="unseen">{text.nav.weigh}</h1>
      <WeightPanel />
      <div class="reading">
        <VerdictCard />
        <InspectList />
      </div>
      <Dock />
    </main>
  );
}
