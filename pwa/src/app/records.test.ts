import "fake-indexeddb/auto";
import { type Signal, signal } from "@preact/signals";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { coreIsBuilt, realCore } from "../core/core-fixture";
import type { JournalMethod } from "../core/types";
import type { HandsEvent } from "../hands/hands";
import type { Exchange } from "../laptop/api";
import { locksOfOneBrowser } from "../records/browser-fake";
import { PhoneDb } from "../records/db";
import type { JournalCore } from "../records/journal";
import { FakeNotebook } from "../records/journal-fake";
import type { Ask } from "../records/sync";
import type { KeepableCoin } from "../weigh/keepable-coin";
import type { Shown } from "../weigh/live-verdict";
import { RecordsController } from "./records";

type Locks = ReturnType<typeof locksOfOneBrowser>;

const coin = (coinId: string) =>
  ({
    coinId,
    weight: { value: "3.11", unit: "g" },
    trace: null,
    coin: null,
    verdict: null,
  }) as unknown as KeepableCoin;

/** One page of a phone, its laptop, and the locks that it shares with the phone's other pages. */
class Page {
  name: Signal<string | null> = signal(null);
  weighed: Signal<Shown | null> = signal(null);
  handsSay: (e: HandsEvent) => void = () => {};
  requests: string[] = [];
  /** Answers of the laptop wait for it. */
  gate: Promise<void> = Promise.resolve();
  records: RecordsController;

  constructor(locks: Locks, core: { core: JournalCore } = new FakeNotebook()) {
    const exchange: Exchange = async () => {
      throw new Error("no laptop");
    };
    const ask: Ask = async (method, path) => {
      this.requests.push(`${method} ${path.split("?")[0]}`);
      await this.gate;
      return null;
    };
    this.records = new RecordsController({
      core: {
        callHere: (method: JournalMethod, input, bytes) => core.core(method, input, bytes),
        settled: async () => {},
      },
      exchange,
      ask,
      storage: { getItem: () => null, setItem() {}, removeItem() {} },
      browser: { locks, storage: undefined, pages: null },
      name: this.name,
      connected: signal(false),
      notice: signal(""),
      photoNews: signal(0),
      check: signal(null),
      coins: { earlier: () => null, coin: signal(null) },
      weighed: this.weighed,
      typed: signal(null),
      counts: () => true,
      handsFree: {
        listen: (l) => {
          this.handsSay = l;
          return () => {};
        },
      },
    });
  }
}

let locks: Locks;
let pages: Page[];
const page = (core?: JournalCore) => {
  const p = new Page(locks, core && { core });
  pages.push(p);
  return p;
};

beforeEach(async () => {
  locks = locksOfOneBrowser();
  pages = [];
  await new PhoneDb().delete();
});

afterEach(() => {
  for (const { records } of pages) {
    records.sync.stop();
    records.journal.db.close();
  }
});

describe("the records", () => {
  it("keep a coin, and take it back at a tap", async () => {
    const { records } = page();
    await records.start();
    expect(records.ready.value).toBe("ready");
    const record = await records.keeper.keep(coin("a"));
    expect(records.keeper.kept.value.get("a")).toBe(record);
    expect(await records.journal.db.entries.count()).toBe(2); // its weight, and when it was found
    const act = records.acts.last.peek();
    expect(act?.what).toBe("kept");
    if (act) await records.undo(act);
    expect(records.keeper.kept.value.size).toBe(0);
    expect(records.acts.last.value?.what).toBe("undone");
  });

  const itSends = it.skipIf(!coreIsBuilt); // what goes when is the core's

  itSends("send what was written after a moment, and not before this device is joined", async () => {
    const p = page(await realCore());
    await p.records.start();
    await p.records.keeper.keep(coin("a"));
    expect(p.requests).toEqual([]);
    p.name.value = "Kitchen phone";
    await vi.waitFor(() => expect(p.requests[0]).toBe("POST /api/v1/journal"), 20_000);
  });

  itSends("are sent by one page at a time", async () => {
    const [one, other] = [page(await realCore()), page(await realCore())];
    await one.records.start();
    await other.records.start();
    await one.records.keeper.keep(coin("a"));
    let open = () => {};
    one.gate = new Promise((resolve) => {
      open = resolve;
    });
    one.name.value = "Kitchen phone";
    await vi.waitFor(() => expect(one.requests).toHaveLength(1), 20_000);
    other.name.value = "Kitchen phone";
    await other.records.sync.notice("2");
    expect(other.requests).toEqual([]);
    open();
    await vi.waitFor(() => expect(one.records.sync.ended.value.is).toBe("away"));
  });
});
