/**
 * The worker that hears and sees: the second Go program, internal/senses. It is started when
 * somebody rings a coin or lets the camera read, and ended after.
 */
import { runGo } from "../core/go-program";
import type { FromSenses, SensesDoor, ToEye, ToSenses } from "./senses";

interface SensesScope {
  pansideSenses?: SensesDoor;
  postMessage(m: FromSenses): void;
  onmessage: ((e: MessageEvent<ToSenses>) => void) | null;
}

const scope = self as unknown as SensesScope;

function looked(door: SensesDoor, asked: ToEye): unknown {
  if ("frame" in asked) return door.frame(...asked.frame);
  if ("shown" in asked) return door.shown(asked.shown);
  if ("allLit" in asked) return door.allLit(asked.allLit);
  const { width, height, rgba } = asked.picture;
  return door.look(width, height, rgba, asked.ms);
}

runGo({
  name: "the senses",
  file: "/senses/senses.wasm",
  door: () => scope.pansideSenses,
  patienceMs: 10_000,
  ended: (cause) => scope.postMessage({ type: "failed", cause }),
}).then(
  (door) => {
    scope.onmessage = ({ data }) => {
      try {
        if ("listen" in data) door.listen(data.listen);
        else if ("samples" in data) scope.postMessage({ type: "heard", answer: door.hear(data.samples) });
        else if ("rings" in data)
          scope.postMessage({ type: "together", id: data.id, answer: door.together(data.rings) });
        else scope.postMessage({ type: "looked", answer: looked(door, data) });
      } catch (cause) {
        scope.postMessage({ type: "failed", cause: String(cause) });
      }
    };
    scope.postMessage({ type: "ready" });
  },
  (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
);
