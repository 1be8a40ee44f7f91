import { randomBytes } from "node:crypto";
import Dexie from "dexie";
import type { Answer, JournalMethod } from "../core/types";
import type { PhoneDb } from "./db";
import { type JournalCore, phoneProtocol } from "./journal";

/**
 * A stand-in for the core’s notebook in tests of the store and the sync: it
 * keeps a set of entries by id and answers in the core's form. What entries
 * mean is the core's own tests' business.
 */
export interface FakeEntry {
  id: string;
  record: string;
  kind: string;
  field: string;
  value: unknown;
}

export class FakeNotebook {
  readonly calls: JournalMethod[] = [];
  entries = new Map<string, string>();
  private writer = "";
  private seq = 0;

  readonly core: JournalCore = async (method, input, bytes) => {
    this.calls.push(method);
    const at = input.indexOf("\n");
    const head = JSON.parse(at < 0 ? input : input.slice(0, at));
    const rest = bytes ? new TextDecoder().decode(bytes) : at < 0 ? "" : input.slice(at + 1);
    const answer = this.answer(method, head, rest);
    if (method !== "journal-snapshot") return answer;
    const kept = JSON.stringify([...this.entries]);
    return { ...answer, bytes: new Uint8Array(new TextEncoder().encode(kept)).buffer };
  };

  private make(record: string, kind: string, field: string, value: unknown) {
    const entry: FakeEntry = { id: `${this.writer}.${++this.seq}`, record, kind, field, value };
    const raw = JSON.stringify(entry);
    this.entries.set(entry.id, raw);
    return { id: entry.id, record, kind, field, raw };
  }

  // biome-ignore lint/suspicious/noExplicitAny: the head is whatever the method takes
  private answer(method: JournalMethod, head: any, rest: string): Answer<unknown> {
    const lines = rest ? rest.split("\n") : [];
    switch (method) {
      case "journal-open":
        this.entries = new Map(rest ? (JSON.parse(rest) as [string, string][]) : []);
        this.writer = randomBytes(5).toString("hex");
        this.seq = 0;
        return {
          ok: { v: phoneProtocol, entries: this.entries.size, rebuild: this.entries.size > head.entries },
        };
      case "journal-add":
        for (const raw of lines) this.entries.set((JSON.parse(raw) as FakeEntry).id, raw);
        return {
          ok: { entries: this.entries.size, complete: this.entries.size >= head.total, unreadable: [] },
        };
      case "journal-snapshot":
        return { ok: { entries: this.entries.size } };
      case "journal-write": {
        const record = head.record || `r-${randomBytes(4).toString("hex")}`;
        const entries = Object.entries(head.set).map(([f, v]) => this.make(record, head.kind, f, v));
        return { ok: { record, entries } };
      }
      case "journal-undo": {
        const first = JSON.parse(lines[0] ?? "{}") as FakeEntry;
        return {
          ok: { record: first.record, entries: [this.make(first.record, first.kind, "deleted", true)] },
        };
      }
      case "sync-part": {
        const bytes = head.bytes || Math.min(64 << 10, head.most);
        return {
          ok: { bytes: head.failed ? bytes / 2 : Math.min(head.most, head.went ? 2 * bytes : bytes) },
        };
      }
      default:
        return { error: { code: "not-found", sentence: `no ${method} here` } };
    }
  }
}

/** For tests: makes the nth request of a kind to the database fail with an error of a name. */
export function failing(db: PhoneDb, which: "add" | "put", nth: number, name: string) {
  let n = 0;
  db.use({
    stack: "dbcore",
    name: "failing",
    create: (core) => ({
      ...core,
      table: (t) => {
        const table = core.table(t);
        return {
          ...table,
          mutate: (req) => {
            if (req.type === which && ++n === nth) {
              return Dexie.Promise.reject(new DOMException("injected", name)) as ReturnType<
                typeof table.mutate
              >;
            }
            return table.mutate(req);
          },
        };
      },
    }),
  });
  return () => n;
}
