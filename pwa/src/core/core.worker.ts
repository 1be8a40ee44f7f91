/** The worker that runs the Go core. */
import { BookFiles, type Fetched, needed } from "./book-files";
import { runGo } from "./go-program";
import { Questions } from "./questions";
import {
  type CoreExports,
  type FromWorker,
  said,
  type ToBegin,
  type ToSpeak,
  type ToWorker,
} from "./worker-core";

interface CoreScope {
  /** Set by the Go program once it is up. */
  pansideCore?: CoreExports;
  postMessage(m: FromWorker, transfer?: Transferable[]): void;
  onmessage: ((e: MessageEvent<ToWorker | ToBegin | ToSpeak>) => void) | null;
}

const scope = self as unknown as CoreScope;
const bookFolder = "/book/";

const load = () =>
  runGo({
    name: "the core",
    file: "/core/core.wasm",
    door: () => scope.pansideCore,
    patienceMs: 50_000,
    ended: (cause) => scope.postMessage({ type: "failed", cause }),
  });

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
