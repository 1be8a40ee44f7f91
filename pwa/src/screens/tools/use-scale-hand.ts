import { useEffect, useMemo } from "preact/hooks";
import { ScaleHand } from "../../scale/scale-hand";
import { useApp } from "../../view/context";

const lookEveryMs = 1000;

/** How the scale is found and read, looked at anew each second while the screen is seen. */
export function useScaleHand(): ScaleHand {
  const app = useApp();
  const hand = useMemo(() => new ScaleHand(app.api), [app]);
  useEffect(() => {
    const look = () => {
      if (!document.hidden) void hand.look();
    };
    look();
    const timer = setInterval(look, lookEveryMs);
    return () => clearInterval(timer);
  }, [hand]);
  return hand;
}
