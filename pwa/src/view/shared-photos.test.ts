import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it, vi } from "vitest";
import { type Caches, SharedPhotos, sharedCache } from "./shared-photos";

/** A cache store in memory, as far as it is used. */
function memory() {
  const stores = new Map<string, Map<string, Response>>();
  const address = (r: RequestInfo | URL) =>
    typeof r === "string" ? `https://kitchen.local${r}` : (r as Request).url;
  const open = async (name: string) => {
    const store = stores.get(name) ?? new Map<string, Response>();
    stores.set(name, store);
    return {
      keys: async () => [...store.keys()].reverse().map((url) => ({ url })),
      match: async (r: Request) => store.get(r.url)?.clone(),
      put: async (r: string, response: Response) => void store.set(address(r), response),
      delete: async (r: Request) => store.delete(r.url),
    } as unknown as Cache;
  };
  const has = async (name: string) => stores.has(name);
  return { open, has, delete: async (name: string) => stores.delete(name) } satisfies Caches;
}

type FetchEvent = { request: unknown; respondWith(r: Promise<Response>): void };

/** The worker's part, run as the browser would. */
function worker(caches: Caches) {
  const source = readFileSync(join(import.meta.dirname, "../../public/share-target.js"), "utf8");
  let listen: (e: FetchEvent) => void = () => {};
  const self = { addEventListener: (_: string, l: typeof listen) => (listen = l) };
  // A redirect to an address without an origin is the browser's business.
  const Answer = Object.assign(
    function make(body: BodyInit, init: ResponseInit) {
      return new Response(body, init);
    },
    { redirect: (to: string, status: number) => ({ to, status }) },
  );
  new Function("self", "caches", "Response", source)(self, caches, Answer);
  return async (method: string, path: string, form?: FormData) => {
    let answer: unknown = null;
    const request = { method, url: `https://kitchen.local${path}`, formData: async () => form };
    listen({
      request,
      respondWith: (r) => {
        answer = r;
      },
    });
    return (await answer) as { to: string; status: number } | null;
  };
}

const photo = (name: string, type: string) => new File([name], name, { type });
const formOf = (...files: File[]) => {
  const form = new FormData();
  for (const f of files) form.append("photos", f);
  return form;
};

let caches: Caches;
let photos: SharedPhotos;
beforeEach(() => {
  caches = memory();
  photos = new SharedPhotos(caches);
});

describe("shared photos", () => {
  it("wait, with their names and bytes, oldest first, until they are dropped", async () => {
    const share = worker(caches);
    vi.useFakeTimers({ now: 1_700_000_000_000 });
    const to = await share(
      "POST",
      "/share-photos",
      formOf(photo("a ö.jpg", "image/jpeg"), photo("b.png", "image/png")),
    );
    vi.setSystemTime(1_700_000_001_000);
    await share(
      "POST",
      "/share-photos",
      formOf(photo("c.jpg", "image/jpeg"), photo("page.html", "text/html")),
    );
    vi.useRealTimers();
    expect(to).toEqual({ to: "/#/shared", status: 303 });
    await photos.look();
    expect(photos.waiting.value).toBe(3);
    const list = await photos.list();
    expect(list.map((p) => [p.name, p.file.type])).toEqual([
      ["a ö.jpg", "image/jpeg"],
      ["b.png", "image/png"],
      ["c.jpg", "image/jpeg"],
    ]);
    expect(await list[0]?.file.text()).toBe("a ö.jpg");
    await photos.drop([list[0]?.key ?? ""]);
    expect(photos.waiting.value).toBe(2);
    await photos.throwAway();
    expect(photos.waiting.value).toBe(0);
  });

  it("come back when they were thrown away by mistake, as long as nobody forgets them", async () => {
    const share = worker(caches);
    await share("POST", "/share-photos", formOf(photo("a ö.jpg", "image/jpeg"), photo("b.png", "image/png")));
    await photos.look();
    const before = (await photos.list()).map((p) => [p.key, p.name, p.file.type]);
    await photos.throwAway();
    expect([photos.waiting.value, photos.thrown.value]).toEqual([0, 2]);
    expect(await photos.list()).toEqual([]);
    await share("POST", "/share-photos", formOf(photo("c.jpg", "image/jpeg")));
    await photos.takeBack();
    expect([photos.waiting.value, photos.thrown.value]).toEqual([3, 0]);
    const after = await photos.list();
    expect(after.map((p) => [p.key, p.name, p.file.type])).toEqual(expect.arrayContaining(before));
    expect(await after.find((p) => p.name === "a ö.jpg")?.file.text()).toBe("a ö.jpg");
    await photos.throwAway();
    await photos.forget();
    await photos.takeBack();
    expect([photos.waiting.value, photos.thrown.value]).toEqual([0, 0]);
  });

  it("leave everything else to the rest of the worker", async () => {
    const share = worker(caches);
    expect(await share("GET", "/share-photos")).toBeNull();
    expect(await share("POST", "/api/v1/join")).toBeNull();
  });

  it("open the app also when the form is none", async () => {
    expect(await worker(caches)("POST", "/share-photos")).toMatchObject({ status: 303 });
    await photos.look();
    expect(photos.waiting.value).toBe(0);
  });

  it("are none where the browser keeps none", async () => {
    const none = new SharedPhotos(null);
    await none.look();
    expect(none.waiting.value).toBe(0);
    expect(await none.list()).toEqual([]);
    expect(await new SharedPhotos({ ...caches, has: () => Promise.reject(new Error("no")) }).list()).toEqual(
      [],
    );
  });

  it("have a worker that puts them where this page looks, and a manifest that names it", () => {
    const folder = join(import.meta.dirname, "../..");
    const source = readFileSync(join(folder, "public/share-target.js"), "utf8");
    const manifest = readFileSync(join(folder, "installable.ts"), "utf8");
    expect(source).toContain(`"${sharedCache}"`);
    for (const text of [source, manifest]) expect(text).toContain('"/share-photos"');
    expect(manifest).toMatch(/importScripts: \["\/share-target\.js"/);
  });
});
