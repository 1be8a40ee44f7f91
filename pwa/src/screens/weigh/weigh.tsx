import { text } from "../../text";
import { useApp } from "../../view/context";
import { Dock } from "./dock";
import { HandsDock, HandsPanel, HandsStart } from "./hands";
import { InspectList } from "./inspect";
import { Strip } from "./strip";
import { useReading } from "./use-reading";
import { VerdictCard } from "./verdict-card";
import { WeightPanel } from "./weight-panel";

/** The main screen: the weight, what it means, what to inspect, and the keys under the thumb. */
export function WeighScreen() {
  const { handsFree, manualWeight } = useApp();
  if (handsFree.on.value && !manualWeight.on.value) {
    return (
      <main class="weigh" data-screen="weigh" data-hands>
        <h1 class="unseen">{text.hands.title}</h1>
        <WeightPanel />
        <HandsPanel />
        <HandsDock />
      </main>
    );
  }
  return <Table />;
}

/** Coin after coin, with the hands. */
function Table() {
  const { handsFree } = useApp();
  const { scroller, reading, toTop } = useReading();
  return (
    <main class="weigh" data-screen="weigh" data-reading={reading.value || undefined}>
      <h1 class="unseen">{text.nav.weigh}</h1>
      <div class="weigh-scroll" ref={scroller}>
        {reading.value && (
          <div class="strip-place">
            <Strip onTap={toTop} />
          </div>
        )}
        <WeightPanel />
        <div class="reading">
          {handsFree.offered.value ? <HandsStart /> : <VerdictCard />}
          <InspectList />
        </div>
      </div>
      <Dock />
    </main>
  );
}
