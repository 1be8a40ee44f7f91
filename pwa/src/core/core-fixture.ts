import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { vi } from "vitest";
import { manifestName, needed } from "./book-files";
import type { Heard } from "./client";
import { readAnswer } from "./read";
import type { JournalMethod, Method } from "./types";
import { type CoreExports, said } from "./worker-core";

const built = join(import.meta.dirname, "../../public/core");
const program = join(built, "core.wasm");
const book = join(import.meta.dirname, "../../public/book");

/** Whether the core was built, as it is after the app was. */
export const coreIsBuilt = existsSync(program);
if (!coreIsBuilt) {
  const left = `${program} isn't built, so nothing is tried over the real core`;
  if (process.env.PANSIDE_WHOLE) throw new Error(left); // the test command builds it first
  process.stderr.write(`${left}; \`go run ./server/up build\` builds it\n`);
}

interface GoProgram {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

/** The core as the phone has it, under Node, started anew. It has one notebook, whoever opens it. */
export async function startCore(): Promise<CoreExports> {
  new Function(readFileSync(join(built, "wasm_exec.js"), "utf8"))();
  const scope = globalThis as unknown as {
    Go: new () => GoProgram;
    pansideCore?: CoreExports;
  };
  delete scope.pansideCore;
  const go = new scope.Go();
  const { instance } = await WebAssembly.instantiate(readFileSync(program), go.importObject);
  void go.run(instance);
  return withBook(await vi.waitUntil(() => scope.pansideCore, { timeout: 20_000 }));
}

/** Brings the core the files of the coin book that it asks for, as its worker does, but at once. */
function withBook(core: CoreExports): CoreExports {
  const call: CoreExports["call"] = (method, json, bytes) => {
    const answer = core.call(method, json, bytes);
    const names = needed(said(answer).json);
    if (!names) return answer;
    for (const name of names) {
      const file = new Uint8Array(readFileSync(join(book, name)));
      if (name === manifestName) core.call("book-open", JSON.stringify({ language: "en" }), file);
      else core.call("book-put", JSON.stringify({ name }), file);
    }
    return call(method, json, bytes);
  };
  return { call };
}

type Call = (method: Method | JournalMethod, input: string, bytes?: ArrayBuffer) => Promise<Heard>;

/** Such a core, asked as its client does. */
export async function realCore(): Promise<Call> {
  const core = await startCore();
  return async (method, input, more) => {
    const { json, bytes } = said(core.call(method, input, more && new Uint8Array(more)));
    return { ...readAnswer(json), ...(bytes && { bytes }) };
  };
}
