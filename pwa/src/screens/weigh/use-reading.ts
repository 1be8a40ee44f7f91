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
    const box = scroller.current;
    if (!box) return;
    // Whichever of them scrolls on a screen of this size.
    for (const part of [box, ...box.querySelectorAll(".reading, .verdict, .inspect")]) part.scrollTop = 0;
  };
  const before = useRef("");
  useSignalEffect(() => {
    const { live, manualWeight, evidence } = app;
    const r = live.reading.value;
    const load = manualWeight.on.value
      ? manualWeight.coin
      : r.is === "weight"
        ? (r.load?.placement ?? null)
        : null;
    const told = JSON.stringify(evidence.given.value);
    const [coin = "", answers = ""] = before.current.split("/", 2);
    // An empty pan is no new coin: the last one is being looked at.
    const now = load === null ? coin : String(load);
    const isNews = before.current !== "" && (now !== coin || (told !== answers && told !== "{}"));
    before.current = `${now}/${told}`;
    if (isNews) toTop();
  });
  return { scroller, reading, toTop };
}
