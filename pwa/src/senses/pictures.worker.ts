/**
 * The worker that looks at pictures: the second Go program, as the one that hears, but a run of
 * its own, since it is stopped by being ended.
 */
import { runGo } from "../core/go-program";
import type { FromPictures, PicturesDoor, Pixels, ToPictures } from "./pictures";

interface PicturesScope {
  pansideSenses?: { pictures: PicturesDoor };
  postMessage(m: FromPictures, transfer?: Transferable[]): void;
  onmessage: ((e: MessageEvent<ToPictures>) => void) | null;
}

const scope = self as unknown as PicturesScope;

function act(door: PicturesDoor, m: Exclude<ToPictures, { drop: number }>): void {
  const { id } = m;
  if ("put" in m) {
    const { width, height, rgba } = m.put;
    const picture = door.put(width, height, new Uint8Array(rgba.buffer));
    scope.postMessage({ type: "put", id, picture });
  } else if ("ask" in m) {
    const answer = door.ask(m.ask, m.question, (done) => scope.postMessage({ type: "progress", id, done }));
    scope.postMessage({ type: "answer", id, answer });
  } else {
    const p = door.pixels(m.pixels);
    const pixels: Pixels | null = p && {
      width: p.width,
      height: p.height,
      rgba: new Uint8ClampedArray(p.rgba.buffer),
    };
    scope.postMessage({ type: "pixels", id, pixels }, pixels ? [pixels.rgba.buffer] : []);
  }
}

runGo({
  name: "the senses",
  file: "/senses/senses.wasm",
  door: () => scope.pansideSenses?.pictures,
  patienceMs: 10_000,
  ended: (cause) => scope.postMessage({ type: "failed", cause }),
}).then(
  (door) => {
    scope.onmessage = ({ data }) => {
      if ("drop" in data) {
        door.drop(data.drop);
        return;
      }
      try {
        act(door, data);
      } catch (cause) {
        scope.postMessage({ type: "threw", id: data.id, cause: String(cause) });
      }
    };
    scope.postMessage({ type: "ready" });
  },
  (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
);
