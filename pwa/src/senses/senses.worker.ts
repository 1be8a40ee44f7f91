/**
 * The worker that hears: the second Go program, internal/senses. It is started when somebody
 * rings a coin, and ended after.
 */
import { runGo } from "../core/go-program";
import type { FromSenses, SensesDoor, ToSenses } from "./senses";

interface SensesScope {
  pansideSenses?: SensesDoor;
  postMessage(m: FromSenses): void;
  onmessage: ((e: MessageEvent<ToSenses>) => void) | null;
}

const scope = self as unknown as SensesScope;

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
        else if ("samples" in data) scope.postMessage({ type: "heard", json: door.hear(data.samples) });
        else scope.postMessage({ type: "together", id: data.id, json: door.together(data.rings) });
      } catch (cause) {
        scope.postMessage({ type: "failed", cause: String(cause) });
      }
    };
    scope.postMessage({ type: "ready" });
  },
  (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
);
