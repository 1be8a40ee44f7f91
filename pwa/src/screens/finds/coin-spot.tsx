import { text } from "../../text";
import { spotOf } from "./spot";

/** A coin's face to tap on; with keys, the arrows move the mark. */
export function CoinSpot(props: {
  at: { x: number; y: number } | null;
  onSpot: (at: { x: number; y: number }) => void;
}) {
  const at = props.at ?? { x: 0.5, y: 0.5 };
  const move = (dx: number, dy: number) => props.onSpot(spotOf(at.x + dx, at.y + dy, 1, 1));
  const keys: Record<string, [number, number]> = {
    ArrowLeft: [-0.05, 0],
    ArrowRight: [0.05, 0],
    ArrowUp: [0, -0.05],
    ArrowDown: [0, 0.05],
  };
  return (
    <button
      type="button"
      class="coin-spot"
      aria-label={text.finds.placeHint}
      data-part="coin-spot"
      onClick={(e) => {
        if (e.detail === 0) return; // by a key; the arrows do that
        const box = e.currentTarget.getBoundingClientRect();
        props.onSpot(spotOf(e.clientX - box.left, e.clientY - box.top, box.width, box.height));
      }}
      onKeyDown={(e) => {
        const by = keys[e.key];
        if (!by) return;
        e.preventDefault();
        move(...by);
      }}
    >
      <svg viewBox="0 0 100 100" aria-hidden="true" focusable="false">
        <circle class="spot-rim" cx="50" cy="50" r="49" />
        <circle class="spot-field" cx="50" cy="50" r="43" />
        <path class="spot-lines" d="M50 10v6M50 84v6M10 50h6M84 50h6" />
        {props.at && <circle class="spot-mark" cx={at.x * 100} cy={at.y * 100} r="5" />}
      </svg>
    </button>
  );
}
