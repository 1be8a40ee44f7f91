import { text } from "../../text";
import { arrowOf } from "../../view/arrow";
import { spotOf } from "./spot";

/** How far an arrow key moves the mark, as a share of the coin. */
const step = 0.05;

/** A coin's face to tap on; with keys, the arrows move the mark. */
export function CoinSpot(props: {
  at: { x: number; y: number } | null;
  onSpot: (at: { x: number; y: number }) => void;
}) {
  const at = props.at ?? { x: 0.5, y: 0.5 };
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
        const way = arrowOf(e, step);
        if (way) props.onSpot(spotOf(at.x + way.dx, at.y + way.dy, 1, 1));
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
