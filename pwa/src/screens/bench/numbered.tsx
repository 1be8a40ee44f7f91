import type { Point, Size } from "../../bench/zoom";

/** A round place on the glass with its number, in pixels of the page. */
export interface Numbered {
  n: number;
  at: Point;
  r: number;
  /** Where the number stands; at its middle if nowhere else. */
  numberAt?: Point;
  /** What stands behind the number, so that nothing is told by color alone. */
  sign: string;
  /** What the style tells them apart by. */
  data: Record<`data-${string}`, string | true | undefined>;
}

/** Numbered circles, each twice: light on dark, so that they are seen on any coin. */
export function NumberedPlaces(props: {
  places: readonly Numbered[];
  glass: Size;
  chosen: number;
  name: string;
}) {
  const { places, glass, chosen, name } = props;
  const circles = places.map(({ n, at, r, data }) => (
    <circle key={n} cx={at.x} cy={at.y} r={r} {...data} data-chosen={n === chosen || undefined} />
  ));
  return (
    <svg
      class={`glass-lines ${name}`}
      width={glass.width}
      height={glass.height}
      aria-hidden="true"
      focusable="false"
      data-part={name}
    >
      <g class="under">{circles}</g>
      <g class="over">{circles}</g>
      {places.map(({ n, at, numberAt = at, sign }) => (
        <text key={n} x={numberAt.x} y={numberAt.y}>
          {n}
          {sign}
        </text>
      ))}
    </svg>
  );
}
