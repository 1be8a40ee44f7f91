import { afterEach, expect, it, vi } from "vitest";
import { browserLock, type Lock, lockOfOnePage } from "./lock";

afterEach(() => vi.unstubAllGlobals());

/** Acts that say when they begin and end, the first of which fails. */
async function two(first: Lock, second: Lock) {
  const went: string[] = [];
  const act = (name: string, fails: boolean) => async () => {
    went.push(`${name} begins`);
    await new Promise((done) => setImmediate(done));
    went.push(`${name} ends`);
    if (fails) throw new Error(name);
  };
  const a = first(act("one", true));
  const b = second(act("two", false));
  await expect(a).rejects.toThrow("one");
  await b;
  return went;
}
const inLine = ["one begins", "one ends", "two begins", "two ends"];

it("puts the acts of one page in line, also behind one that failed", async () => {
  const lock = lockOfOnePage();
  expect(await two(lock, lock)).toEqual(inLine);
});

it("puts the acts of all pages in line where the browser has locks", async () => {
  const lines = new Map<string, Lock>();
  const request = (name: string, act: () => Promise<unknown>) => {
    const line = lines.get(name) ?? lockOfOnePage();
    lines.set(name, line);
    return line(act);
  };
  vi.stubGlobal("navigator", { locks: { request } });
  expect(await two(browserLock("journal"), browserLock("journal"))).toEqual(inLine);
});
