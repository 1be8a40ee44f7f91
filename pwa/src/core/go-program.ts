/** The glue of the Go release that built the programs; the build puts it beside the core. */
const glue = "/core/wasm_exec.js";

interface GoProgram {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

interface Program<Door> {
  /** What it is called in a cause for the log. */
  name: string;
  file: string;
  /** What it sets once it is up. */
  door: () => Door | undefined;
  /** How long that may take. */
  patienceMs: number;
  /** Told when it ends, which it doesn't while all is well. */
  ended: (cause: string) => void;
}

/** How often its door is looked for: a start takes part of a second, on a busy phone some seconds. */
const lookEveryMs = 20;

/** Runs a Go program in this worker, and gives its door once it is open. */
export async function runGo<Door>(p: Program<Door>): Promise<Door> {
  await import(/* @vite-ignore */ new URL(glue, self.location.href).href);
  const { Go } = self as unknown as { Go?: new () => GoProgram };
  if (!Go) throw new Error("the glue brought no Go");
  const go = new Go();
  const { instance } = await compile(p, go.importObject);
  go.run(instance).then(
    () => p.ended(`${p.name} ended`),
    (cause: unknown) => p.ended(String(cause)),
  );
  for (let waited = 0; ; waited += lookEveryMs) {
    const door = p.door();
    if (door) return door;
    if (waited > p.patienceMs) throw new Error(`${p.name} opened no door`);
    await new Promise((resolve) => setTimeout(resolve, lookEveryMs));
  }
}

async function compile(
  { name, file }: Pick<Program<unknown>, "name" | "file">,
  imports: WebAssembly.Imports,
): Promise<WebAssembly.WebAssemblyInstantiatedSource> {
  const response = await fetch(file);
  if (!response.ok) throw new Error(`${name}, its file: ${response.status}`);
  if (response.headers.get("content-type")?.startsWith("application/wasm")) {
    return WebAssembly.instantiateStreaming(response, imports);
  }
  return WebAssembly.instantiate(await response.arrayBuffer(), imports);
}
