import { createHash, randomBytes } from "node:crypto";
import Dexie from "dexie";
import type { Answer, JournalMethod } from "../core/types";
import type { PhoneDb } from "./db";
import type { JournalCore } from "./journal";

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
        return { ok: { entries: this.entries.size, rebuild: this.entries.size > head.entries } };
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
      case "journal-pushed": {
        const a = JSON.parse(rest);
        const why = new Map<number, string>(
          a.refused.map((r: { index: number; code: string }) => [r.index, r.code]),
        );
        const sent = head.sent as string[];
        return {
          ok: {
            stored: sent.filter((_, i) => !why.has(i)),
            refused: a.refused,
            forked: sent.filter((_, i) => why.get(i) === "forked"),
            receipt: a.cursor,
            restart: a.restart,
          },
        };
      }
      case "journal-renew": {
        const drop = new Set<string>(head.forked);
        const entries = lines
          .map((raw) => JSON.parse(raw) as FakeEntry)
          .filter((e) => drop.has(e.id))
          .map((e) => {
            const again = {
              ...e,
              id: `again-${createHash("sha256").update(e.id).digest("hex").slice(0, 8)}.1`,
            };
            return { ...again, raw: JSON.stringify(again) };
          });
        return { ok: { entries, drop: [...drop] } };
      }
      case "journal-pulled": {
        const page = JSON.parse(rest);
        const known: string[] = [];
        const entries = [];
        for (const e of page.entries as FakeEntry[]) {
          if (this.entries.has(e.id)) known.push(e.id);
          else {
            const raw = JSON.stringify(e);
            this.entries.set(e.id, raw);
            entries.push({ id: e.id, record: e.record, kind: e.kind, field: e.field, raw });
          }
        }
        return {
          ok: {
            entries,
            known,
            changed: [],
            cursor: page.cursor,
            more: page.more,
            restart: page.restart,
            forked: page.forked ?? [],
            unreadable: 0,
          },
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
