import "fake-indexeddb/auto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, describe, expect, it, vi } from "vitest";
import { noCoreHere } from "../core/client";
import type { RawEntry } from "../core/journal";
import type { SyncChange, SyncReply, SyncStep } from "../core/sync";
import { journalMethods } from "../core/types";
import { lockOfOnePage } from "../device/lock";
import { PhoneDb } from "./db";
import { Journal, type JournalCore, phoneProtocol } from "./journal";
import { FakeNotebook } from "./journal-fake";
import { type Ask, Sync } from "./sync";

/** What internal/bridge/phone_wire_test.go writes down, and holds the core to. */
interface Happening {
  call?: string;
  head?: Record<string, unknown>;
  more?: string;
  answer?: { ok: SyncStep };
  bytes?: string;
  ask?: string;
  headers?: Record<string, string>;
  body?: string;
  status?: number;
  said?: string;
  store?: {
    receipt: string;
    cursor: string;
    entries: (RawEntry & { sent: boolean })[];
    photos: { sha256: string; type: string; text: string; sent: boolean; sent_at: number; refused: string }[];
    renewed: number;
  };
}

const written = (name: string): { version: number; happens: Happening[] } =>
  JSON.parse(readFileSync(join(import.meta.dirname, "../../../testdata/wire/phone", name), "utf8"));

const bytesOf = (text: string): ArrayBuffer => new Uint8Array(new TextEncoder().encode(text)).buffer;
const textOf = (b: ArrayBuffer | Uint8Array | string | undefined): string =>
  typeof b === "string" ? b : b ? new TextDecoder().decode(b) : "";

/** What says nothing is left out on one side and empty on the other. */
const said = (head: Record<string, unknown>) =>
  Object.fromEntries(
    Object.entries(head).filter(([, v]) => v !== "" && v !== 0 && !(Array.isArray(v) && v.length === 0)),
  );

let names = 0;
const syncs: Sync[] = [];
afterEach(() => {
  for (const s of syncs.splice(0)) s.stop();
});

async function stored(db: PhoneDb): Promise<Happening["store"]> {
  const marks = await db.kept.get("sync");
  const renewed = await db.kept.get("renewed");
  const entries = await db.entries.toArray();
  return {
    receipt: marks?.key === "sync" ? marks.receipt : "",
    cursor: marks?.key === "sync" ? marks.cursor : "",
    entries: entries.map(({ n: _, sent, ...e }) => ({ ...e, sent: sent === 1 })),
    photos: (await db.photos.orderBy("sha256").toArray()).map((p) => ({
      sha256: p.sha256,
      type: p.type,
      text: textOf(p.bytes),
      sent: p.sent === 1,
      sent_at: p.sentAt,
      refused: p.refused,
    })),
    renewed: renewed?.key === "renewed" ? renewed.times : 0,
  };
}

/** Puts what a person wrote meanwhile into the store. */
async function fill(db: PhoneDb, store: NonNullable<Happening["store"]>): Promise<void> {
  await db.entries.clear();
  await db.entries.bulkAdd(store.entries.map(({ sent, ...e }) => ({ ...e, sent: sent ? 1 : 0 })));
  await db.photos.clear();
  await db.photos.bulkAdd(
    store.photos.map((p) => ({
      sha256: p.sha256,
      type: p.type,
      bytes: bytesOf(p.text),
      sent: p.sent ? 1 : 0,
      sentAt: p.sent_at,
      refused: p.refused,
    })),
  );
}

describe("Sync, held to the rounds that the core is held to", () => {
  it("asks, stores and answers just as it is written down", async () => {
    const { version, happens } = written("round.json");
    expect(version).toBe(phoneProtocol);
    let at = 0;
    let where = "";
    // What fails in a callback would only end a round.
    const wrong: unknown[] = [];
    const held = async <T>(act: () => T): Promise<T> => {
      try {
        return act();
      } catch (cause) {
        wrong.push(cause);
        throw cause;
      }
    };
    const next = (): Happening => {
      where = `round.json, ${at + 3}`; // its line
      const h = happens[at++];
      if (!h) throw new Error("more than is written down");
      return h;
    };
    const core: JournalCore = (method, input, bytes) =>
      held(() => {
        // The notebook is opened whenever the journal finds it right.
        if (method === "journal-open") return { ok: { v: version, entries: 0, rebuild: false } };
        if (method === "journal-add") return { ok: { entries: 0, complete: true, unreadable: [] } };
        if (method === "journal-snapshot") return { ok: { entries: 0 } };
        const h = next();
        const cut = input.indexOf("\n");
        const head = JSON.parse(cut < 0 ? input : input.slice(0, cut));
        expect(method, where).toBe(h.call);
        expect(said(head), where).toEqual(said(h.head ?? {}));
        expect(bytes ? textOf(bytes) : cut < 0 ? "" : input.slice(cut + 1), where).toBe(h.more ?? "");
        return { ok: h.answer?.ok, ...(h.bytes && { bytes: bytesOf(h.bytes) }) };
      });
    const ask: Ask = (method, path, body, headers) =>
      held(() => {
        const h = next();
        expect(`${method} ${path}`, where).toBe(h.ask);
        expect(headers ?? null, where).toEqual(h.headers ?? null);
        expect(textOf(body), where).toBe(h.body ?? "");
        if (!h.status) return null;
        return { status: h.status, bytes: bytesOf(h.said ?? "") };
      });
    const db = new PhoneDb(`sync-${++names}`);
    const journal = new Journal({ db, core, lock: lockOfOnePage(), now: () => 0 });
    let now = 0;
    const sync = new Sync({ journal, ask, now: () => now, fullness: async () => null });
    syncs.push(sync);
    for (;;) {
      while (happens[at]?.call === "journal-open") at++;
      const h = happens[at];
      if (!h) break;
      if (h.store) {
        await fill(db, h.store);
        at++;
        continue;
      }
      const why = h.head?.why;
      now = Number(happens[at + 1]?.head?.now ?? now);
      if (why === "start") await sync.start();
      else if (why === "notice") await sync.notice(String(h.head?.cursor));
      else if (why === "stop") sync.stop();
      else sync.wake();
      await vi.waitUntil(() => wrong.length > 0 || !happens[at] || happens[at]?.store);
      if (wrong.length > 0) throw wrong[0];
      const end = happens[at++]?.store;
      if (end) expect(await stored(db), where).toEqual(end);
    }
    expect(at).toBeGreaterThan(happens.length);
    expect(sync.ended.value.is).toBe("away");
    expect(sync.doing.value).toEqual({ is: "nothing" });
  });

  it("knows each method that the core has", () => {
    const calls = [...written("round.json").happens, ...written("journal.json").happens].flatMap(
      (h) => h.call ?? [],
    );
    expect([...new Set(calls)].sort()).toEqual([...journalMethods].sort());
  });
});

/** A core whose sync says what it was told to say, one step after the other. */
class Script {
  replies: (SyncReply & { now: number })[] = [];
  occasions: string[] = [];
  opened = 0;
  gone = false;
  /** Asked before each answer; may write meanwhile. */
  onAnswer: (n: number) => void = () => {};
  private at = 0;
  private book = new FakeNotebook();

  constructor(private steps: Partial<SyncStep>[]) {}

  readonly core: JournalCore = async (method, input, bytes) => {
    if (this.gone) return { error: { code: noCoreHere, sentence: "" } };
    if (method === "journal-open") this.opened++;
    if (!method.startsWith("sync-")) return this.book.core(method, input, bytes);
    const head = JSON.parse(input.split("\n")[0] ?? "");
    if (method === "sync-wake") {
      this.occasions.push(head.why);
      return { ok: {} };
    }
    if (method === "sync-answer") {
      this.replies.push(head);
      this.onAnswer(this.replies.length);
    }
    const step = this.steps[this.at++] ?? { do: "wait" };
    return { ok: { id: `s${this.at}`, doing: { is: "nothing" }, ...step } };
  };
}

function phone(script: Script, over: Partial<ConstructorParameters<typeof Sync>[0]> = {}) {
  const db = new PhoneDb(`sync-${++names}`);
  const journal = new Journal({ db, core: script.core, lock: lockOfOnePage(), now: () => 5000 });
  const asked: string[] = [];
  const ask: Ask = async (method, path) => {
    asked.push(`${method} ${path}`);
    return { status: 200, bytes: bytesOf("{}") };
  };
  const sync = new Sync({ journal, ask, now: () => 5000, ...over });
  syncs.push(sync);
  return { db, journal, sync, asked };
}

const entry = (id: string): RawEntry => ({
  id,
  record: "r",
  kind: "find",
  field: "note",
  raw: `{"id":"${id}"}`,
});
const store = (c: SyncChange): Partial<SyncStep> => ({ do: "store", store: c });
const request: Partial<SyncStep> = { do: "ask", ask: { method: "GET", path: "/x" } };

describe("Sync, by itself", () => {
  it("stores a change as a whole, and opens the notebook anew if that failed", async () => {
    const change: SyncChange = {
      cursor: "2.b",
      sent: ["a.1"],
      add: [entry("b.1"), entry("b.2")],
      added: true,
    };
    const script = new Script([store({ cursor: "1.a" }), store(change), { do: "wait" }]);
    const { db, journal, sync } = phone(script);
    await journal.start();
    await db.entries.bulkAdd([
      { ...entry("a.1"), sent: 0 },
      { ...entry("b.2"), sent: 0 }, // which another page has stored
    ]);
    const opened = script.opened;
    await sync.start();
    expect(script.replies.map((r) => r.failed?.is)).toEqual([undefined, "store"]);
    expect((await db.entries.toArray()).map((e) => [e.id, e.sent])).toEqual([
      ["a.1", 0],
      ["b.2", 0],
    ]);
    expect(await db.kept.get("sync")).toMatchObject({ cursor: "1.a" });
    await journal.start();
    expect(script.opened).toBe(opened + 1);
  });

  it("lets nobody write between an answer and what is stored of it", async () => {
    const script = new Script([request, store({ cursor: "1.a" }), store({ cursor: "2.b" }), { do: "wait" }]);
    const { db, journal, sync } = phone(script);
    await journal.start();
    const order: string[] = [];
    let writing: Promise<unknown> = Promise.resolve();
    script.onAnswer = (n) => {
      if (n === 1) {
        writing = journal
          .write({ kind: "find", record: "", set: { note: "meanwhile" } })
          .then(async () => order.push(`written at ${JSON.stringify(await db.kept.get("sync"))}`));
      }
      if (n === 3) order.push("all stored");
    };
    await sync.start();
    await writing;
    expect(order[0]).toBe("all stored");
    expect(order[1]).toContain("2.b");
  });

  it("says of a photo that was taken away meanwhile that it is gone, and asks for nothing", async () => {
    const part = { photo: "a", from: 0, to: 1 };
    const script = new Script([{ do: "ask", ask: { method: "PUT", path: "/x", part } }, { do: "wait" }]);
    const { sync, asked } = phone(script);
    await sync.start();
    expect(asked).toEqual([]);
    expect(script.replies).toMatchObject([{ step: "s1", gone: true }]);
  });

  it("has a round for itself or none, and lets go of it at its end, also of one that broke", async () => {
    let held = 0;
    let free = false;
    const alone = async () => {
      if (!free) return null;
      held++;
      return () => void held--;
    };
    const steps: Partial<SyncStep>[] = [
      { do: "alone" },
      { do: "wait" },
      { do: "alone" },
      request,
      { do: "wait" },
    ];
    const script = new Script([...steps, { do: "alone" }, request]);
    const { sync, asked } = phone(script, { alone });
    await sync.start();
    expect(script.replies).toMatchObject([{ step: "s1", alone: false }]);
    free = true;
    await sync.notice("1.a");
    expect(script.replies[1]).toMatchObject({ step: "s3", alone: true });
    expect([held, asked.length]).toEqual([0, 1]);
    script.onAnswer = (n) => {
      if (n === 4) script.gone = true; // the core's worker dies with the request on its way
    };
    await sync.notice("2.b");
    expect(held).toBe(0);
    expect(sync.ended.value).toMatchObject({ is: "refused", code: noCoreHere });
    expect(sync.doing.value).toEqual({ is: "nothing" });
  });

  it("says that no answer came, and hands on whatever did", async () => {
    const answers = [null, { status: 409, bytes: bytesOf("no") }];
    const script = new Script([request, request, { do: "wait" }]);
    const { sync } = phone(script, { ask: async () => answers.shift() ?? null });
    await sync.start();
    expect(script.replies.map((r) => r.status)).toEqual([undefined, 409]);
  });

  it("looks again after an occasion while it was at work", async () => {
    const script = new Script([request, { do: "wait" }, request, { do: "wait" }]);
    const { sync, asked } = phone(script);
    const begun = sync.start();
    script.onAnswer = () => {
      script.onAnswer = () => {};
      sync.wake();
    };
    await begun;
    await vi.waitUntil(() => asked.length === 2);
    expect(script.occasions).toEqual(["start", "occasion"]);
  });

  it("goes on by itself at the time that the core says, and not once it was stopped", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    try {
      const later: Partial<SyncStep> = { do: "wait", until: 8000 };
      const script = new Script([later, request, later, request]);
      const { sync, asked } = phone(script);
      await sync.start();
      await vi.advanceTimersByTimeAsync(2_999);
      expect(asked).toHaveLength(0);
      await vi.advanceTimersByTimeAsync(1);
      await vi.waitUntil(() => asked.length === 1);
      await sync.notice("x");
      sync.stop();
      await vi.advanceTimersByTimeAsync(100_000);
      expect(script.occasions).toContain("stop");
      const asks = asked.length;
      sync.wake();
      await sync.notice("y");
      await vi.advanceTimersByTimeAsync(100_000);
      expect(asked).toHaveLength(asks);
    } finally {
      vi.useRealTimers();
    }
  });

  it("shows what the core says of the last round", async () => {
    const lost = { photo: "a", why: "gone" as const, record: "", here: false, waiting_for: [] };
    const ended = { is: "well" as const, at: 5000 };
    const shown = { ended, left_over: "a gap", unreadable: 2, wanted: [lost], unread: 3 };
    const { sync } = phone(new Script([{ do: "wait", shown }]));
    await sync.start();
    expect(sync.ended.value).toEqual(ended);
    expect([sync.leftOver.value, sync.unread.value, sync.wanted.value]).toEqual(["a gap", 3, [lost]]);
    expect(sync.unreadable.value).toBe(2);
  });

  it("does nothing before it is started", async () => {
    const script = new Script([request]);
    const { sync, asked } = phone(script);
    sync.wake();
    sync.stop();
    await sync.notice("1.a");
    expect([script.occasions, asked]).toEqual([[], []]);
  });
});
