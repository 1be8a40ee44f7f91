import "fake-indexeddb/auto";
import { afterEach, describe, expect, it, vi } from "vitest";
import { lockOfOnePage } from "../device/lock";
import { Refusal } from "../laptop/api";
import { PhoneDb, type StoredPhoto } from "./db";
import { Journal } from "./journal";
import { type FakeEntry, FakeNotebook, failing } from "./journal-fake";
import { type Exchange, NightSync } from "./night";

const partBytes = 64;

let names = 0;
const nights: NightSync[] = [];
afterEach(() => {
  for (const n of nights.splice(0)) n.stop();
});

/** A laptop that keeps entries and photos as the real one does, and can be made to fail. */
class Laptop {
  life = 1;
  entries: FakeEntry[] = [];
  photos = new Map<string, Uint8Array>();
  /** Those that it hasn't read back from its disk yet. */
  unread = new Set<string>();
  /** Those that its disk has lost since it read them back; found when they are read again. */
  rotten = new Set<string>();
  /** Whether it takes its time to read photos back. */
  slow = false;
  /** Photos that it wants, with what the devices said. */
  wanted: { photo: string; why: string; record?: string; told: boolean; waiting_for: string[] }[] = [];
  parts = new Map<string, Uint8Array>();
  requests: string[] = [];
  /** Ids that it takes for forks. */
  forks = new Set<string>();
  /** Ids that it can't take before others have come. */
  gaps = new Set<string>();
  /** Asked before each request; throws to fail it. */
  before: (n: number, request: string) => void = () => {};
  /** Asked after each request was done; throws to lose the answer. */
  after: (n: number, request: string) => void = () => {};

  /** Where its journal is; another life knows no cursor of the one before. */
  cursor = () => `${this.life}.${this.entries.length}`;

  private knows(mark: string): boolean {
    if (!mark) return true;
    const [life, n] = mark.split(".").map(Number);
    return life === this.life && (n ?? 0) <= this.entries.length;
  }

  readonly exchange: Exchange = async (method, path, body, headers) => {
    const request = `${method} ${path.split("?")[0]}`;
    const n = this.requests.push(request);
    this.before(n, request);
    const answer = this.answer(method, path, body, headers ?? {});
    this.after(n, request);
    return new Response(JSON.stringify(answer));
  };

  private answer(
    method: string,
    path: string,
    body: string | Uint8Array | undefined,
    headers: Record<string, string>,
  ): unknown {
    const url = new URL(path, "http://laptop");
    if (url.pathname === "/api/v1/journal" && method === "POST") return this.push(JSON.parse(String(body)));
    if (url.pathname === "/api/v1/journal") return this.pull(url.searchParams);
    if (url.pathname === "/api/v1/photos/missing") {
      const { photos, read_now } = JSON.parse(String(body)) as { photos: string[]; read_now?: boolean };
      if (read_now) for (const p of this.rotten) this.photos.delete(p);
      return {
        v: 1,
        missing: photos.filter((p) => !this.photos.has(p)),
        verified: photos.filter((p) => this.photos.has(p) && !this.unread.has(p)),
      };
    }
    if (url.pathname === "/api/v1/photos/wanted") {
      const { not_held = [] } = method === "POST" ? JSON.parse(String(body)) : {};
      for (const w of this.wanted) {
        if (not_held.includes(w.photo)) Object.assign(w, { told: true, waiting_for: ["another phone"] });
      }
      return { v: 1, photos: this.wanted.filter((w) => !this.photos.has(w.photo)) };
    }
    const sha256 = url.pathname.split("/")[4] ?? "";
    if (method === "PUT") this.put(sha256, body as Uint8Array, headers["Content-Range"] ?? "");
    const whole = this.photos.get(sha256);
    return { v: 1, have: whole?.length ?? this.parts.get(sha256)?.length ?? 0, complete: !!whole };
  }

  private push(batch: { receipt: string; entries: FakeEntry[] }) {
    const refused: { index: number; code: string; sentence: string }[] = [];
    const restart = !this.knows(batch.receipt); // before its own entries make it known again
    batch.entries.forEach((e, index) => {
      if (this.forks.has(e.id)) refused.push({ index, code: "forked", sentence: "a fork" });
      else if (this.gaps.has(e.id)) refused.push({ index, code: "gap", sentence: "a gap" });
      else if (!this.entries.some((x) => x.id === e.id)) this.entries.push(e);
    });
    return { v: 1, refused, cursor: this.cursor(), restart };
  }

  private pull(q: URLSearchParams) {
    const restart = !this.knows(q.get("after") ?? "") || !this.knows(q.get("receipt") ?? "");
    const from = restart ? 0 : Number((q.get("after") ?? "").split(".")[1] ?? 0);
    const entries = this.entries.slice(from, from + 3);
    const to = from + entries.length;
    return { v: 1, entries, cursor: `${this.life}.${to}`, more: to < this.entries.length, restart };
  }

  private put(sha256: string, part: Uint8Array, range: string) {
    const [, first = "0", , total = "0"] = /bytes (\d+)-(\d+)\/(\d+)/.exec(range) ?? [];
    const had = this.parts.get(sha256) ?? new Uint8Array();
    if (Number(first) > had.length) throw new Refusal("bad-input", "a hole");
    const now = new Uint8Array(Number(first) + part.length);
    now.set(had.subarray(0, Number(first)));
    now.set(part, Number(first));
    this.parts.set(sha256, now);
    if (now.length < Number(total)) return;
    if (now[0] !== 7) {
      this.parts.delete(sha256);
      throw new Refusal("photo-torn", "torn");
    }
    this.photos.set(sha256, now);
    if (this.slow) this.unread.add(sha256);
  }
}

const away = () => {
  throw new Refusal("unreachable", "");
};

function phone(laptop: Laptop, over: Partial<ConstructorParameters<typeof NightSync>[0]> = {}) {
  const db = new PhoneDb(`night-${++names}`);
  const book = new FakeNotebook();
  const journal = new Journal({ db, core: book.core, lock: lockOfOnePage(), now: () => 5000 });
  const sync = new NightSync({
    journal,
    exchange: laptop.exchange,
    now: () => 5000,
    random: () => 0,
    partBytes,
    ...over,
  });
  nights.push(sync);
  const write = (text: string, photos: StoredPhoto[] = []) =>
    journal.write({ kind: "find", record: "", set: { note: text } }, photos);
  const once = async () => {
    await sync.start();
    sync.stop();
  };
  return { db, journal, sync, write, once };
}

function photo(name: string, size = 10): StoredPhoto {
  const bytes = new Uint8Array(size).fill(7);
  return {
    sha256: name.padEnd(64, "0"),
    type: "image/jpeg",
    bytes: bytes.buffer,
    sent: 0,
    sentAt: 0,
    refused: "",
  };
}

const notesOf = (laptop: Laptop) => laptop.entries.map((e) => e.value);

describe("NightSync", () => {
  it("brings two phones and the laptop to the same", async () => {
    const laptop = new Laptop();
    const [a, b] = [phone(laptop), phone(laptop)];
    for (const t of ["1", "2", "3", "4", "5"]) await a.write(t, [photo(t)]);
    await a.once();
    await b.write("6");
    await b.once();
    await a.once();
    expect(notesOf(laptop)).toEqual(["1", "2", "3", "4", "5", "6"]);
    expect(await a.db.entries.count()).toBe(6);
    expect(await b.db.entries.count()).toBe(6);
    expect(a.journal.onlyHere.value).toEqual({ finds: 0, hunts: 0, others: 0, photos: 0 });
    expect(laptop.photos.size).toBe(5);
  });

  it("ends right whichever request fails, before it was done or after", async () => {
    for (const lost of ["before", "after"] as const) {
      for (let nth = 1; ; nth++) {
        const laptop = new Laptop();
        const p = phone(laptop);
        await p.write("1", [photo("a", partBytes + 5)]);
        await p.write("2", [photo("b")]);
        laptop[lost] = (n) => (n === nth ? away() : undefined);
        await p.once();
        const failed = laptop.requests.length >= nth;
        if (failed) expect(p.sync.ended.value.is, `${lost} ${nth}`).toBe("away");
        await p.once();
        expect(notesOf(laptop), `${lost} ${nth}`).toEqual(["1", "2"]);
        expect([...laptop.photos.values()].map((b) => b.length)).toEqual([partBytes + 5, 10]);
        expect(p.journal.onlyHere.value).toEqual({ finds: 0, hunts: 0, others: 0, photos: 0 });
        if (!failed) break;
      }
    }
  });

  it("counts nothing as sent that the laptop hasn't confirmed", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1", [photo("a")]);
    laptop.after = (_n, request) => {
      if (request === "POST /api/v1/journal") away(); // stored, but the answer is lost
    };
    await p.once();
    expect(laptop.entries).toHaveLength(1);
    expect(p.journal.onlyHere.value).toEqual({ finds: 1, hunts: 0, others: 0, photos: 1 });
  });

  it("goes on with a photo from where the laptop has it to", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1", [photo("a", 3 * partBytes)]);
    let puts = 0;
    laptop.before = (_n, request) => {
      if (request.startsWith("PUT") && ++puts === 2) away();
    };
    await p.once();
    expect(p.journal.onlyHere.value.photos).toBe(1);
    laptop.before = () => {};
    laptop.requests = [];
    await p.once();
    expect(laptop.requests.filter((r) => r.startsWith("PUT"))).toHaveLength(2);
    expect(laptop.photos.get("a".padEnd(64, "0"))).toEqual(new Uint8Array(3 * partBytes).fill(7));
  });

  it("sends everything again to a laptop that was put back from a backup, photos too", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    for (const t of ["1", "2", "3", "4"]) await p.write(t, [photo(t)]);
    await p.once();
    laptop.life++;
    laptop.entries = laptop.entries.slice(0, 1);
    laptop.photos.delete("3".padEnd(64, "0"));
    laptop.parts.clear();
    await p.once();
    expect(notesOf(laptop).sort()).toEqual(["1", "2", "3", "4"]);
    expect(laptop.photos.size).toBe(4);
    expect(p.journal.onlyHere.value).toEqual({ finds: 0, hunts: 0, others: 0, photos: 0 });
  });

  it("hears by its receipt that what it pushed since its last pull is gone", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1");
    await p.once();
    await p.write("2");
    laptop.before = (_n, request) => {
      if (request === "GET /api/v1/journal") away();
    };
    await p.once();
    laptop.before = () => {};
    laptop.entries = laptop.entries.slice(0, 1); // put back: the phone's cursor is known, its receipt isn't
    await p.write("3");
    await p.once();
    expect(notesOf(laptop).sort()).toEqual(["1", "2", "3"]);
    expect(p.journal.onlyHere.value.finds).toBe(0);
  });

  it("asks again for a page that it couldn't store", async () => {
    const laptop = new Laptop();
    const [a, b] = [phone(laptop), phone(laptop)];
    for (const t of ["1", "2", "3", "4", "5"]) await a.write(t);
    await a.once();
    await b.journal.start();
    failing(b.db, "add", 2, "QuotaExceededError"); // of the second page
    b.db.close({ disableAutoOpen: false });
    await b.once();
    expect(b.sync.ended.value).toEqual({ is: "store", trouble: "full" });
    expect(await b.db.entries.count()).toBe(3);
    await b.once();
    expect((await b.db.entries.toArray()).map((e) => JSON.parse(e.raw).value)).toEqual(notesOf(laptop));
  });

  it("begins a photo again of which the laptop has a damaged part", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    const size = 2 * partBytes;
    await p.write("1", [photo("a", size), photo("b", size)]);
    laptop.parts.set("a".padEnd(64, "0"), new Uint8Array(partBytes)); // half of it
    laptop.parts.set("b".padEnd(64, "0"), new Uint8Array(size)); // all of it, and still not taken
    await p.once();
    for (const name of ["a", "b"]) {
      expect(laptop.photos.get(name.padEnd(64, "0")), name).toEqual(new Uint8Array(size).fill(7));
    }
    expect(p.journal.onlyHere.value.photos).toBe(0);
  });

  it("gives up for now on a photo that doesn't get further", async () => {
    const laptop = new Laptop();
    let puts = 0;
    const stuck: Exchange = async (method, path, body, headers) => {
      if (method !== "PUT") return laptop.exchange(method, path, body, headers);
      if (++puts > 20) throw new Error("for ever");
      return new Response(JSON.stringify({ v: 1, have: 0, complete: false }));
    };
    const p = phone(laptop, { exchange: stuck });
    await p.write("1", [photo("a")]);
    await p.once();
    expect(puts).toBeLessThan(10);
    expect(p.journal.onlyHere.value).toEqual({ finds: 0, hunts: 0, others: 0, photos: 1 });
  });

  it("writes forked entries again under other names and sends those", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1");
    const forked = await p.write("2");
    for (const e of forked.entries) laptop.forks.add(e.id);
    await p.once();
    expect(notesOf(laptop).sort()).toEqual(["1", "2"]);
    expect(laptop.entries.some((e) => e.id.startsWith("again-"))).toBe(true);
    expect((await p.db.entries.toArray()).some((e) => laptop.forks.has(e.id))).toBe(false);
    expect(await p.db.entries.count()).toBe(2);
  });

  it("writes forked entries again before it sends more, which may name them", async () => {
    const laptop = new Laptop();
    const left: number[] = []; // at each push
    const looking: Exchange = async (method, path, body, headers) => {
      if (method === "POST" && path === "/api/v1/journal") {
        const here = await p.db.entries.toArray();
        left.push(here.filter((e) => laptop.forks.has(e.id)).length);
      }
      return laptop.exchange(method, path, body, headers);
    };
    const p = phone(laptop, { exchange: looking });
    const forked = await p.write("1");
    for (const e of forked.entries) laptop.forks.add(e.id);
    const long = "x".repeat(600 << 10); // two of them don't fit into one push
    await p.write(`2${long}`);
    await p.write(`3${long}`);
    await p.once();
    expect(notesOf(laptop)).toHaveLength(3);
    expect(left.length).toBeGreaterThan(1);
    expect(left.slice(1)).toEqual(left.slice(1).map(() => 0));
  });

  it("pushes once more after a pull what was refused, and says what stays over", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    const w = await p.write("1");
    for (const e of w.entries) laptop.gaps.add(e.id);
    let pulls = 0;
    laptop.after = (_n, request) => {
      if (request === "GET /api/v1/journal" && ++pulls === 1) laptop.gaps.clear();
    };
    await p.once();
    expect(notesOf(laptop)).toEqual(["1"]);
    expect(p.sync.leftOver.value).toBe("");
    const x = await p.write("2");
    for (const e of x.entries) laptop.gaps.add(e.id);
    await p.once();
    expect(p.sync.leftOver.value).toBe("a gap");
    expect(p.journal.onlyHere.value.finds).toBe(1);
  });

  it("shows the laptop's own words when the versions differ", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1");
    laptop.before = () => {
      throw new Refusal("wire-version", "Close the app and open it again.");
    };
    await p.once();
    expect(p.sync.ended.value).toEqual({
      is: "refused",
      code: "wire-version",
      sentence: "Close the app and open it again.",
    });
  });

  it("frees a photo only after the laptop said once more that it has it", async () => {
    const laptop = new Laptop();
    const p = phone(laptop, { fullness: async () => 0.95, now: () => 9000 });
    await p.write("1", [photo("a")]);
    await p.once();
    expect(await p.db.photos.count()).toBe(0); // the phone is nearly full
    const day = 24 * 3600 * 1000;
    let today = 10 * day; // it was sent on the first
    const q = phone(laptop, { fullness: async () => 0.1, now: () => today });
    await q.write("2", [photo("b")]);
    await q.once();
    expect(await q.db.photos.count()).toBe(1); // there is room
    today = 40 * day;
    await q.once();
    expect(await q.db.photos.count()).toBe(0); // long enough
    const r = phone(laptop, { fullness: async () => 0.95, now: () => 9000 });
    await r.write("3", [photo("c")]);
    let asked = 0;
    laptop.before = (_n, request) => {
      if (request === "POST /api/v1/photos/missing" && ++asked === 3) laptop.photos.clear();
    };
    await r.once();
    expect(await r.db.photos.count()).toBe(1);
    expect(r.journal.onlyHere.value.photos).toBe(1); // and it is sent again
  });

  it("counts a photo as only here until the laptop has read it back, and frees none before", async () => {
    const laptop = new Laptop();
    laptop.slow = true;
    const p = phone(laptop, { fullness: async () => 0.95, now: () => 9000 });
    await p.write("1", [photo("a"), photo("b")]);
    await p.once();
    expect(laptop.photos.size).toBe(2);
    expect(p.journal.onlyHere.value.photos).toBe(2);
    expect(await p.db.photos.where("sent").equals(1).count()).toBe(0);
    laptop.unread.delete("a".padEnd(64, "0"));
    await p.once();
    expect(p.journal.onlyHere.value.photos).toBe(1);
    expect(await p.db.photos.toCollection().primaryKeys()).toEqual(["b".padEnd(64, "0")]); // it is crowded
    laptop.unread.clear();
    await p.once();
    expect(p.journal.onlyHere.value.photos).toBe(0);
    expect(laptop.requests.filter((r) => r.startsWith("PUT"))).toHaveLength(2); // none was sent twice
  });

  it("frees no photo that the laptop’s disk has lost since it was read back", async () => {
    const laptop = new Laptop();
    const p = phone(laptop, { fullness: async () => 0.95, now: () => 9000 });
    laptop.rotten.add("a".padEnd(64, "0"));
    await p.write("1", [photo("a"), photo("b")]);
    await p.once();
    expect(await p.db.photos.toCollection().primaryKeys()).toEqual(["a".padEnd(64, "0")]);
    expect(p.journal.onlyHere.value.photos).toBe(1);
    laptop.rotten.clear();
    await p.once();
    expect(laptop.photos.size).toBe(2);
  });

  it("keeps a photo of earlier days whose reading back is too long ago", async () => {
    const laptop = new Laptop();
    let today = 0;
    const p = phone(laptop, { now: () => today });
    await p.write("1", [photo("a")]);
    await p.once();
    laptop.unread.add("a".padEnd(64, "0")); // the laptop was off for long
    today = 40 * 24 * 3600 * 1000;
    await p.once();
    expect(await p.db.photos.count()).toBe(1);
  });

  it("frees nothing for a laptop that doesn't say what it has read back", async () => {
    const laptop = new Laptop();
    const old: Exchange = async (method, path, body, headers) => {
      if (path.endsWith("/wanted")) throw new Refusal("bad-input", "no name"); // taken for a photo's name
      const answer = await (await laptop.exchange(method, path, body, headers)).json();
      delete answer.verified;
      return new Response(JSON.stringify(answer));
    };
    const p = phone(laptop, { exchange: old, fullness: async () => 0.95 });
    await p.write("1", [photo("a")]);
    await p.once();
    expect(p.sync.ended.value.is).toBe("well");
    expect(laptop.photos.size).toBe(1);
    expect(await p.db.photos.count()).toBe(1);
  });

  it("waits for the laptop to read photos back, by itself", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    try {
      const laptop = new Laptop();
      laptop.slow = true;
      const p = phone(laptop);
      await p.write("1", [photo("a")]);
      await p.sync.start();
      expect(p.journal.onlyHere.value.photos).toBe(1);
      laptop.unread.clear();
      await vi.advanceTimersByTimeAsync(5_000);
      await vi.waitUntil(() => p.journal.onlyHere.value.photos === 0);
    } finally {
      vi.useRealTimers();
    }
  });

  it("sends a photo again that was damaged on the laptop, and says what it doesn't have", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    const [a, x] = ["a".padEnd(64, "0"), "f".padEnd(64, "0")];
    await p.write("1", [photo("a"), photo("b")]);
    await p.once();
    laptop.photos.delete(a);
    laptop.wanted = [
      { photo: a, why: "damaged", record: "r", told: false, waiting_for: ["this phone", "another phone"] },
      { photo: x, why: "gone", told: false, waiting_for: ["this phone", "another phone"] },
      { photo: "y", why: "in a way of its own", told: false, waiting_for: [] },
    ];
    await p.once();
    expect(laptop.photos.get(a)).toEqual(new Uint8Array(10).fill(7));
    expect(p.sync.wanted.value).toEqual([
      { photo: a, why: "damaged", record: "r", here: true, waitingFor: ["this phone", "another phone"] },
      { photo: x, why: "gone", record: "", here: false, waitingFor: ["another phone"] },
    ]);
    expect(laptop.requests.filter((r) => r.startsWith("POST /api/v1/photos/wanted"))).toHaveLength(1);
    await p.once();
    expect(p.sync.wanted.value.map((w) => w.photo)).toEqual([x]);
    expect(laptop.requests.filter((r) => r.startsWith("POST /api/v1/photos/wanted"))).toHaveLength(1); // said once
    laptop.wanted = [];
    await p.once();
    expect(p.sync.wanted.value).toEqual([]);
    expect(laptop.requests.filter((r) => r.startsWith("PUT"))).toHaveLength(3);
  });

  it("counts a wanted photo as only here also when it can't be sent now", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1", [photo("a")]);
    await p.once();
    laptop.photos.clear();
    laptop.wanted = [{ photo: "a".padEnd(64, "0"), why: "gone", told: false, waiting_for: [] }];
    laptop.before = (_n, request) => {
      if (request.startsWith("PUT")) away();
    };
    await p.once();
    expect(p.journal.onlyHere.value.photos).toBe(1);
  });

  it("notes a photo whose own copy here is damaged, and goes on with the others", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    const bad = photo("a");
    new Uint8Array(bad.bytes)[0] = 8; // which the laptop finds torn
    await p.write("1", [bad, photo("b")]);
    await p.once();
    expect(p.sync.ended.value.is).toBe("well");
    expect([...laptop.photos.keys()]).toEqual(["b".padEnd(64, "0")]);
    expect((await p.db.photos.get("a".padEnd(64, "0")))?.refused).toBe("torn");
    laptop.wanted = [{ photo: "a".padEnd(64, "0"), why: "absent", told: false, waiting_for: [] }];
    await p.once();
    expect(p.sync.wanted.value).toMatchObject([{ here: false, waitingFor: ["another phone"] }]);
  });

  it("brings a photo over 10 kB/s to a laptop that waits half a minute for a part", async () => {
    const laptop = new Laptop();
    let clock = 5000;
    let broke = 0;
    const slow: Exchange = async (method, path, body, headers) => {
      const took = ((body as Uint8Array)?.length ?? 0) / 10; // ms, at 10 bytes a ms
      clock += took;
      if (took > 30_000) {
        broke++;
        throw new Refusal("unreachable", "");
      }
      return laptop.exchange(method, path, body, headers);
    };
    const p = phone(laptop, { exchange: slow, now: () => clock, partBytes: 512 << 10 });
    await p.write("1", [photo("a", 2 << 20)]);
    await p.once();
    expect(laptop.photos.has("a".padEnd(64, "0"))).toBe(true);
    expect(broke).toBe(0);
  });

  it("sends smaller parts over a line that breaks", async () => {
    const laptop = new Laptop();
    const most = 64 << 10;
    const sizes: number[] = [];
    const weak: Exchange = async (method, path, body, headers) => {
      if (method === "PUT") {
        sizes.push((body as Uint8Array).length);
        if (sizes.at(-1) === most) throw new Refusal("unreachable", ""); // longer than the line holds
      }
      return laptop.exchange(method, path, body, headers);
    };
    const q = phone(laptop, { partBytes: most, exchange: weak });
    await q.write("1", [photo("b", 2 * most)]);
    for (let round = 0; round < 8; round++) await q.once();
    expect(laptop.photos.has("b".padEnd(64, "0"))).toBe(true);
    expect(sizes.slice(0, 2)).toEqual([most, most / 2]);
  });

  it("asks for entries again between two photos when there is an occasion", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1", [photo("a"), photo("b"), photo("c")]);
    let puts = 0;
    laptop.after = (_n, request) => {
      if (request.startsWith("PUT") && ++puts === 1) p.sync.wake();
    };
    await p.sync.start();
    const kinds = laptop.requests.map((r) => r.replace(/photos\/\w{64}/, "photo").replace("/api/v1/", ""));
    const first = kinds.indexOf("PUT photo");
    expect(kinds[first + 1]).toBe("GET journal");
    expect(laptop.photos.size).toBe(3);
    expect(p.journal.onlyHere.value).toEqual({ finds: 0, hunts: 0, others: 0, photos: 0 });
  });

  it("notes a photo that the laptop never takes and goes on with the others", async () => {
    const laptop = new Laptop();
    const p = phone(laptop);
    await p.write("1", [photo("a")]);
    await p.write("2", [photo("b")]);
    laptop.before = (_n, request) => {
      if (request.startsWith("PUT") && request.includes("/a0"))
        throw new Refusal("photo-refused", "no picture");
    };
    await p.once();
    expect(p.sync.ended.value.is).toBe("well");
    expect(laptop.photos.size).toBe(1);
    expect((await p.db.photos.get("a".padEnd(64, "0")))?.refused).toBe("no picture");
    expect(p.journal.onlyHere.value.photos).toBe(1);
  });

  it("tries again by itself, and takes an own push for no news", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    try {
      const laptop = new Laptop();
      const p = phone(laptop);
      laptop.before = () => away();
      await p.sync.start();
      const failed = laptop.requests.length;
      laptop.before = () => {};
      await vi.advanceTimersByTimeAsync(5_000);
      await vi.waitUntil(() => p.sync.ended.value.is === "well");
      expect(laptop.requests.length).toBeGreaterThan(failed);
      const { cursor } = await p.journal.marks();
      const before = laptop.requests.length;
      await p.sync.notice(cursor);
      expect(laptop.requests.length).toBe(before);
    } finally {
      vi.useRealTimers();
    }
  });
});
