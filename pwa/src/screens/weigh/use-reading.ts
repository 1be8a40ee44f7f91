import { type Signal, useSignal, useSignalEffect } from "@preact/signals";
import type { RefObject } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { useApp } from "../../view/context";

/** The list is read from here on, as a part of the weight's height, and until it is back above the other. */
const beginsAt = 0.45;
const endsAt = 0.15;

/**
 * Tells whether the person reads below the verdict, and brings the verdict back
 * to the top with a new coin and with an answer that may have changed it.
 */
export function useReading(): {
  scroller: RefObject<HTMLDivElement | null>;
  reading: Signal<boolean>;
  toTop(): void;
} {
  const app = useApp();
  const scroller = useRef<HTMLDivElement | null>(null);
  const reading = useSignal(false);
  useEffect(() => {
    const box = scroller.current;
    if (!box) return;
    const look = () => {
      const height = box.querySelector(".weight")?.clientHeight ?? 0;
      // Two heights, since the keys that go below make room, which moves the end of a short list.
      reading.value = height > 0 && box.scrollTop > height * (reading.peek() ? endsAt : beginsAt);
    };
    box.addEventListener("scroll", look, { passive: true });
    return () => box.removeEventListener("scroll", look);
  }, [reading]);
  const toTop = () => {
    const up = () => {
      const box = scroller.current;
      // Whichever of them scrolls on a screen of this size.
      for (const part of box ? [box, ...box.querySelectorAll(".reading, .verdict, .inspect")] : [])
        part.scrollTop = 0;
    };
    up();
    // And when what has changed with it is drawn, which may move the list once more.
    requestAnimationFrame(() => requestAnimationFrame(up));
  };
  const before = useRef({ load: 0, emptied: false, told: "{}", call: "" });
  useSignalEffect(() => {
    const { live, liveVerdict, manualWeight, evidence } = app;
    const r = live.reading.value;
    const typed = manualWeight.on.value;
    const on = typed ? manualWeight.coin : r.is === "weight" ? (r.load?.placement ?? null) : null;
    const shown = (typed ? manualWeight : liveVerdict).current.value;
    const was = before.current;
    const empty = !typed && r.is === "weight" && r.phase === "empty";
    const rests = typed || (r.is === "weight" && r.phase === "settled");
    // An empty pan is no new coin: the last one is being looked at. Nor is a load
    // that moves before the pan was empty: that is the coin being lifted.
    const load = on !== null && (was.emptied || rests) ? on : was.load;
    const told = JSON.stringify(evidence.given.value);
    const call = shown?.settled ? shown.verdict.call : was.call;
    before.current = { load, emptied: empty || (was.emptied && on === null), told, call };
    if (load !== was.load || (told !== was.told && told !== "{}") || call !== was.call) toTop();
  });
  return { scroller, reading, toTop };
}
