import { text } from "../../text";

/** A place on the coin, in the words people use for it: the hour, and how far out. */
export function placeWords(x: number, y: number): string {
  const [dx, dy] = [x - 0.5, y - 0.5];
  const out = Math.hypot(dx, dy) * 2; // 0 in the centre, 1 at the edge
  const hours = ((Math.atan2(dx, -dy) / Math.PI) * 6 + 12) % 12;
  const clock = Math.round(hours) % 12 || 12;
  return text.finds.placeWords(clock, out < 0.2 ? "centre" : out > 0.75 ? "rim" : "field");
}

/** Where on a square of some size a tap fell, 0 to 1, kept within the coin. */
export function spotOf(x: number, y: number, width: number, height: number): { x: number; y: number } {
  const dx = x / width - 0.5;
  const dy = y / height - 0.5;
  const far = Math.max(1, Math.hypot(dx, dy) / 0.5);
  const round = (v: number) => Math.round(v * 1000) / 1000;
  return { x: round(0.5 + dx / far), y: round(0.5 + dy / far) };
}
