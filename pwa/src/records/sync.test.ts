import "fake-indexeddb/auto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, describe, expect, it, vi } from "vitest";
import { noCoreHere } from "../core/client";
import type { RawEntry } from "../core/journal";
import type { SyncChange, SyncStep } from "../core/sync";
import { journalMethods } from "../core/types";
import { lockOfOnePage } from "../device/lock";
import { PhoneDb, type StoredPhoto } from "./db";
import { Journal, type JournalCore, phoneProtocol } from "./journal";
import { failing } from "./journal-fake";
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
    const core: JournalCore = (method, input, bytes) => held(() => {
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
    const ask: Ask = (method, path, body, headers) => held(() => {
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
