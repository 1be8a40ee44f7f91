import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { fakeShown } from "../core/shown-fake";
import { memoryStorage } from "../device/local-storage";
import { HandClock, weightMessage } from "../live/fixture";
import type { SocketLike } from "../live/socket";
import { createApp } from "./app";
import type { App } from "./interface";

/** The whole store at a table with two devices; this one is “me”. */
class Table {
  clock = new HandClock();
  socket: SocketLike | null = null;
  sent: Record<string, unknown>[] = [];
  seq = 0;
  app: App;
  private kept = new Map<string, string>([
    [
      "panside.joined",
      JSON.stringify({
        token: "T",
        device: { id: "me", name: "n", role: "phone" },
        server: { name: "", fingerprint: "", addresses: [] },
      }),
    ],
    ["panside.denomination", '"cent"'],
  ]);

  constructor() {
    this.app = createApp({
      origin: "https://kitchen.local",
      crypto: globalThis.crypto,
      storage: memoryStorage(this.kept),
      fetch: (async () =>
        new Response('{"device":{"id":"me","name":"n","role":"phone"},"server":{}}')) as typeof fetch,
      openSocket: () => {
        this.socket = {
          onopen: null,
          onmessage: null,
          onclose: null,
          onerror: null,
          send: (data) => void this.sent.push(JSON.parse(data)),
          close() {},
        };
        return this.socket;
      },
      localCore: {
        load: async () => {},
        speak: async () => {},
        exchange: async () => {
          throw new Error("no notebook here");
        },
        call: async (method, json) => {
          const verdict = {
            call: "ordinary",
            headline: "Bronze cent.",
            spoken: "Bronze cent.",
            decisive: true,
          };
          if (method === "shown") return fakeShown(json, () => ({ ok: verdict }));
          return JSON.stringify({
            ok: { countries: [{ id: "US", denominations: [{ id: "cent", name: "cent", current: true }] }] },
          });
        },
      },
      onFrame: (act) => act(),
      clock: this.clock,
    });
  }

  async hear(message: object) {
    this.socket?.onmessage?.({ data: JSON.stringify(message) });
    await settle();
  }
  weigh = (change: object) => this.hear(weightMessage({ seq: ++this.seq, age_ms: 0, ...change }));
  pan = (id: string | null, asks: object | null) =>
    this.hear({ type: "pan", v: 1, holder: id && { id, name: `phone ${id}`, role: "phone" }, asks });
  said = () => this.sent.filter((m) => m.type === "pan");
}

async function settle() {
  for (let i = 0; i < 40; i++) await Promise.resolve();
}

const dimes = { country: "US", denomination: "dime", year: 1964, mint: "D", evidence: { magnetic: "no" } };
const empty = { phase: "empty", placement: 3, mean_g: null, u_g: null, shown: "0.00" };

let t: Table;
beforeEach(async () => {
  vi.useFakeTimers();
  t = new Table();
  await vi.advanceTimersByTimeAsync(10);
  await t.app.core.load();
  await settle();
  await t.weigh(empty);
});
afterEach(() => {
  t.app.client.stop();
  vi.useRealTimers();
});

describe("the pan among devices", () => {
  it("is taken by picking a denomination, with the question", async () => {
    t.app.pick("cent");
    const asks = { country: "US", denomination: "cent", year: 0, mint: "" };
    expect(t.said()).toEqual([{ type: "pan", do: "take", if_free: true, asks }]);
    await t.pan("me", asks);
    t.app.date.setYear("1982");
    await settle();
    expect(t.said().at(-1)).toEqual({ type: "pan", do: "ask", asks: { ...asks, year: 1982 } });
  });

  it("is followed while another device holds it, from coin to coin", async () => {
    await t.pan("b", dimes);
    expect(t.app.prefs.denomination.value).toBe("dime");
    expect(t.app.date.askYear).toBe(1964);
    t.app.pick("cent");
    expect(t.app.prefs.denomination.value).toBe("dime");
    await t.weigh({ placement: 4 });
    await t.weigh({ placement: 5 });
    expect(t.app.date.askYear).toBe(1964); // the holder says when it changes
    expect(t.app.liveVerdict.current.value?.asked).toBe('US/dime/1964/D/{"magnetic":"no"}');
    expect(t.said()).toEqual([]);
    t.app.takeOver();
    const { evidence: of, ...asks } = dimes; // evidence is of the other's hand and eye: the new holder gives its own
    expect(of).toBeDefined();
    expect(t.said()).toEqual([{ type: "pan", do: "take", asks }]);
  });

  it("leaves typed weights alone", async () => {
    t.app.manualWeight.on.value = true;
    await t.pan("b", dimes);
    expect(t.app.prefs.denomination.value).toBe("cent");
    t.app.pick("cent");
    expect(t.said()).toEqual([]);
  });
});

describe("a sitting in the whole", () => {
  it("counts what lands, and leaves the words of each coin to the screen reader where there is no voice", async () => {
    const read: string[] = [];
    t.app.announcer.words.subscribe((w) => w && read.push(w.trim()));
    t.app.beginHands();
    await t.pan("me", null);
    for (const placement of [4, 5]) {
      await t.weigh({ placement });
      await t.weigh({ placement });
      await t.weigh({ ...empty, placement });
    }
    expect(t.app.handsFree.list.total.value).toBe(2);
    expect(read.slice(-2)).toEqual(["Bronze cent.", "Bronze cent."]);
    expect(t.app.handsFree.on.value).toBe(true);
    t.app.manualWeight.on.value = true; // another way of weighing
    expect(t.app.handsFree.on.value).toBe(false);
    expect(t.said().at(-1)).toMatchObject({ do: "leave" });
  });

  it("counts nothing that a camera read, and says so", async () => {
    const scale = { name: "phone b", kind: "camera", format: "camera", assumed: true };
    t.app.beginHands();
    await t.pan("me", null);
    for (const placement of [4, 5]) {
      await t.weigh({ placement, scale });
      await t.weigh({ placement, scale });
      await t.weigh({ ...empty, placement, scale });
    }
    expect(t.app.handsFree.list.total.value).toBe(0);
    expect(t.app.handsFree.caption.value.words).toContain("Hands-free doesn’t count what the camera reads");
  });

  it("says why a coin can't be judged, and what became of the scale", async () => {
    t.app.beginHands();
    const problem = { code: "port-lost", sentence: "The cable came loose." };
    await t.weigh({ placement: 4, problem });
    expect(t.app.handsFree.caption.value.words).toBe("The cable came loose.");
    t.app.handsFree.end();
    t.app.beginHands(); // nobody is told to put a coin on a pan that isn't heard
    expect(t.app.handsFree.caption.value.words).toBe("The cable came loose.");
  });

  it("asks for a denomination first, and begins with the tap on it", () => {
    t.app.prefs.denomination.value = "";
    t.app.beginHands();
    expect(t.app.handsFree.on.value).toBe(false);
    expect(t.app.handsFree.offered.value).toBe(true);
    t.app.pick("cent");
    expect(t.app.handsFree.on.value).toBe(true);
  });
});
