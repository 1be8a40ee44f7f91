/**
 * The worker that hears and sees: the second Go program, internal/senses. It is started when
 * somebody rings a coin or lets the camera read, and ended after.
 */
import type { FromSenses, SensesDoor, ToEye, ToSenses } from "./senses";

interface GoProgram {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

interface SensesScope {
  Go?: new () => GoProgram;
  pansideSenses?: SensesDoor;
  postMessage(m: FromSenses): void;
  onmessage: ((e: MessageEvent<ToSenses>) => void) | null;
}

const scope = self as unknown as SensesScope;

async function load(): Promise<SensesDoor> {
  await import(/* @vite-ignore */ new URL("/core/wasm_exec.js", self.location.href).href);
  if (!scope.Go) throw new Error("the glue brought no Go");
  const go = new scope.Go();
  const response = await fetch("/senses/senses.wasm");
  if (!response.ok) throw new Error(`the senses' file: ${response.status}`);
  const { instance } = await WebAssembly.instantiate(await response.arrayBuffer(), go.importObject);
  const ended = go.run(instance);
  for (let tries = 0; !scope.pansideSenses; tries++) {
    if (tries > 1000) throw new Error("the senses opened no door");
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  ended.then(
    () => scope.postMessage({ type: "failed", cause: "the senses ended" }),
    (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
  );
  return scope.pansideSenses;
}

function looked(door: SensesDoor, asked: ToEye): string {
  if ("frame" in asked) return door.frame(...asked.frame);
  if ("shown" in asked) return door.shown(asked.shown);
  if ("allLit" in asked) return door.allLit(asked.allLit);
  const { width, height, rgba } = asked.picture;
  return door.look(width, height, rgba, asked.ms);
}

load().then(
  (door) => {
    scope.onmessage = ({ data }) => {
      try {
        if ("listen" in data) door.listen(data.listen);
        else if ("samples" in data) scope.postMessage({ type: "heard", json: door.hear(data.samples) });
        else if ("rings" in data)
          scope.postMessage({ type: "together", id: data.id, json: door.together(data.rings) });
        else scope.postMessage({ type: "looked", json: looked(door, data) });
      } catch (cause) {
        scope.postMessage({ type: "failed", cause: String(cause) });
      }
    };
    scope.postMessage({ type: "ready" });
  },
  (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
);
