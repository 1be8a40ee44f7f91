/**
 * The worker that runs the Go core. wasm_exec.js is the glue of the Go release
 * that built core.wasm; both are put beside the app by the project's build.
 */
import { BookFiles, type Fetched, needed } from "./book-files";
import { Questions } from "./questions";
import {
  type CoreExports,
  type FromWorker,
  said,
  type ToBegin,
  type ToSpeak,
  type ToWorker,
} from "./worker-core";

interface GoProgram {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

interface CoreScope {
  Go?: new () => GoProgram;
  /** Set by the Go program once it is up. */
  pansideCore?: CoreExports;
  postMessage(m: FromWorker, transfer?: Transferable[]): void;
  onmessage: ((e: MessageEvent<ToWorker | ToBegin | ToSpeak>) => void) | null;
}

const scope = self as unknown as CoreScope;
const glue = "/core/wasm_exec.js";
const program = "/core/core.wasm";
const bookFolder = "/book/";

async function load(): Promise<void> {
  await import(/* @vite-ignore */ new URL(glue, self.location.href).href);
  if (!scope.Go) throw new Error("the glue brought no Go");
  const go = new scope.Go();
  const { instance } = await compile(go.importObject);
  // run resolves only when the program ends, which it does not do while all is well.
  go.run(instance).then(
    () => scope.postMessage({ type: "failed", cause: "the core ended" }),
    (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
  );
  await up();
}

async function compile(imports: WebAssembly.Imports): Promise<WebAssembly.WebAssemblyInstantiatedSource> {
  const response = await fetch(program);
  if (!response.ok) throw new Error(`the core's file: ${response.status}`);
  if (response.headers.get("content-type")?.startsWith("application/wasm")) {
    return WebAssembly.instantiateStreaming(response, imports);
  }
  return WebAssembly.instantiate(await response.arrayBuffer(), imports);
}

/** Waits until the program has set its door; its start takes part of a second, on a busy phone some seconds. */
async function up(): Promise<void> {
  for (let tries = 0; !scope.pansideCore; tries++) {
    if (tries > 2500) throw new Error("the core opened no door");
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** A file of the coin book, from the copy on this device or from the laptop. */
async function bookFile(name: string, again: boolean): Promise<Fetched> {
  try {
    // The copy is kept by the plain address, so with a query the laptop is asked.
    const response = again
      ? await fetch(`${bookFolder}${name}?again`, { cache: "reload" })
      : await fetch(bookFolder + name);
    if (!response.ok) return { why: `status ${response.status}`, gone: response.status === 404 };
    if (again) await mend(bookFolder + name, response.clone());
    return { content: await response.arrayBuffer() };
  } catch (cause) {
    return { why: String(cause), gone: false };
  }
}

/** Puts a file that was fetched anew in the place of its damaged copies. */
async function mend(path: string, whole: Response): Promise<void> {
  if (!("caches" in self)) return; // a page without an encrypted address keeps none
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const kept of await cache.keys()) {
      if (new URL(kept.url).pathname === path) await cache.put(kept, whole.clone());
    }
  }
}

const book = new BookFiles((method, json, content) => {
  if (!scope.pansideCore) throw new Error("the core isn't up");
  return said(scope.pansideCore.call(method, json, content && new Uint8Array(content))).json;
}, bookFile);

const questions = new Questions(
  (act) => setTimeout(act, 0),
  (question) => {
    const { id, method, json, bytes } = question;
    try {
      const core = scope.pansideCore;
      if (!core) throw new Error("the core isn't up");
      const answer = said(core.call(method, json, bytes && new Uint8Array(bytes)));
      const files = needed(answer.json);
      if (files) {
        book.bring(files).then(
          () => questions.take(question),
          (cause: unknown) => scope.postMessage({ type: "threw", id, cause: String(cause) }),
        );
        return;
      }
      scope.postMessage({ type: "answer", id, ...answer }, answer.bytes ? [answer.bytes] : []);
    } catch (cause) {
      scope.postMessage({ type: "threw", id, cause: String(cause) });
    }
  },
);

/** A core that couldn't be told goes on in the language it has. */
function speak({ id, speak }: ToSpeak): void {
  const done = () => scope.postMessage({ type: "answer", id, json: "" });
  book.speak(speak).then(done, done);
}

scope.onmessage = ({ data }) => {
  if ("begin" in data) book.begin(data.begin);
  else if ("speak" in data) speak(data);
  else questions.take(data);
};

load().then(
  () => scope.postMessage({ type: "ready" }),
  (cause: unknown) => scope.postMessage({ type: "failed", cause: String(cause) }),
);
