import { fields, list, number, words } from "../core/json";
import type { Asking, Asks, Source } from "../senses/pictures";
import type { Picture } from "./bench";
import { type Ellipse, readEllipse } from "./work";

/** How many photos are taken of a coin on the dial. */
export const dialCounts = [4, 8] as const;
export type DialCount = (typeof dialCounts)[number];

/** The marks on the printed disc, clockwise. */
export const dialMarks = [1, 2, 3, 4, 5, 6, 7, 8] as const;

/** The marks that are turned to the arrow, in this order. */
export const marksTaken = (count: DialCount): number[] => dialMarks.filter((_, i) => i % (8 / count) === 0);

/** By how much the coin is turned counterclockwise with a mark at the arrow: numbers run clockwise, so the disc turns back. */
export const turnAt = (mark: number): number => 45 * (mark - 1);

/** The arrow is at the top of the picture, and the lamp behind it. */
const lampSide = 90;

/** What kept photos on the dial from a relief; of which mark, and how far off it that photo lies, where one is to blame. */
export interface Faulty {
  why: unknown;
  mark?: number;
  off?: number;
}

/** How much of the work is looking for the rims, and then for the turns; the rest makes the relief. */
const [rimsDone, turnsDone] = [0.25, 0.5];

/** The relief of a coin on the dial, its photos by marks, once it is known how each lies. */
export async function reliefOnDial(
  pictures: Asks,
  photos: readonly { mark: number; picture: Picture }[],
  up: number,
  signal: AbortSignal,
  onProgress: (done: number) => void,
): Promise<Source | Faulty> {
  const how = (from: number, to: number): Asking => ({
    signal,
    onProgress: (done) => onProgress(from + (to - from) * done),
  });
  const rims: Ellipse[] = [];
  for (const [i, { mark, picture }] of photos.entries()) {
    const each = rimsDone / photos.length;
    const found = await pictures.ask(
      "rim",
      [picture.source],
      ([n]) => ({ picture: n }),
      how(i * each, (i + 1) * each),
    );
    const rim = words(found.why) ? null : readEllipse(found.rim);
    if (!rim) return { why: "no-rim", mark };
    rims.push(rim);
  }
  const of = photos.map((p) => p.picture.source);
  const said = photos.map((p) => turnAt(p.mark));
  const frames = (numbers: number[], lies: readonly object[]) =>
    numbers.map((picture, i) => ({ ...lies[i], picture, rim: rims[i] }));
  const answer = await pictures.ask(
    "turns",
    of,
    (numbers) => ({
      frames: frames(
        numbers,
        said.map((turn) => ({ turn })),
      ),
    }),
    how(rimsDone, turnsDone),
  );
  const at = number(answer.frame);
  if (words(answer.why)) {
    const mark = at === null ? undefined : photos[at]?.mark;
    const off = (number(answer.degrees) ?? 0) - (said[at ?? 0] ?? 0);
    return { why: answer.why, ...(mark !== undefined && { mark, off }) };
  }
  const found = list(answer.frames).map(fields);
  return {
    made: {
      method: "dial",
      of,
      question: (numbers) => ({ frames: frames(numbers, found), side: lampSide, up }),
    },
  };
}
