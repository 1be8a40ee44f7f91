import { text } from "../../text";
import { useApp } from "../../view/context";
import { PracticePanel } from "../practice/practice";
import { Dock } from "../weigh/dock";
import { VerdictCard } from "../weigh/verdict-card";
import { WeightPanel } from "../weigh/weight-panel";
import { OfferPanel } from "./offer";
import { PhonesPanel } from "./phones";

/** The laptop's own page: a second display, the way in for phones, and the list of them. */
export function DeskScreen() {
  const app = useApp();
  const reading = app.live.reading.value;
  const virtual = "scale" in reading && reading.scale?.kind === "virtual";
  return (
    <main class="desk" data-screen="desk">
      <h1 class="unseen">{text.desk.title}</h1>
      <div class="desk-display">
        <WeightPanel />
        <VerdictCard />
        <Dock />
      </div>
      <div class="desk-side">
        <OfferPanel />
        <PhonesPanel />
        {virtual && (
          <section class="panel" aria-labelledby="practice-title">
            <h2 id="practice-title">{text.practice.title}</h2>
            <PracticePanel />
          </section>
        )}
      </div>
    </main>
  );
}
