import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { fakeShown } from "../core/shown-fake";
import { memoryStorage } from "../device/local-storage";
import { HandClock, weightMessage } from "../live/fixture";
import type { SocketLike } from "../live/socket";
import { text } from "../text";
import { createApp } from "./app";
import type { App } from "./interface";

/** The whole store with a socket, a core and a storage of the test's own. */
class Table {
  clock = new HandClock();
  stored = new Map<string, string>([
    [
      "panside.joined",
      JSON.stringify({
        token: "T",
        device: { id: "d", name: "n", role: "phone" },
        server: { name: "", fingerprint: "" },
      }),
    ],
    ["panside.denomination", '"cent"'],
  ]);
  socket: SocketLike | null = null;
  seq = 0;
  asked: { method: string; q: Record<string, unknown> }[] = [];
  judge: (q: Record<string, unknown>) => unknown = (q) => ({
    ok:
      Number(q.mean_g) > 2.8
        ? { call: "ordinary", headline: "Bronze cent", spoken: "Bronze.", hint: "regular" }
        : { call: "look", headline: "Too light", spoken: "Look at this one.", hint: "light" },
  });
  meStatus = 200;
  app: App;

  constructor() {
    this.app = createApp({
      storage: memoryStorage(this.stored),
      fetch: (async () =>
        new Response(
          JSON.stringify(
            this.meStatus === 200
              ? { device: { id: "d", name: "n", role: "phone" }, server: {} }
              : { error: { code: "not-joined", sentence: "Ended on the laptop." } },
          ),
          { status: this.meStatus },
        )) as typeof fetch,
      origin: "https://10.0.0.5:8311",
      crypto,
      openSocket: () => {
        const s = {
          onopen: null,
          onmessage: null,
          onclose: null,
          onerror: null,
          send() {},
          close() {},
        } as SocketLike;
        this.socket = s;
        return s;
      },
      localCore: {
        load: async () => {},
        speak: async () => {},
        exchange: async () => {
          throw new Error("no notebook here");
        },
        call: async (method, json) => {
          if (method === "shown") {
            return fakeShown(json, (q) => {
              this.asked.push({ method, q });
              return this.judge(q);
            });
          }
          const q = JSON.parse(json);
          this.asked.push({ method, q });
          if (method === "look")
            return JSON.stringify({ ok: { look: [{ kind: String(q.hint) }], cautions: [] } });
          return JSON.stringify({
            ok: {
              countries: [
                {
                  id: "US",
                  denominations: [
                    { id: "cent", current: true },
                    { id: "two-cent", current: false },
                    { id: "dime", current: true },
                  ],
                },
              ],
            },
          });
        },
      },
      onFrame: (act) => act(),
      clock: this.clock,
    });
  }

  async weigh(change: Record<string, unknown>) {
    const m = weightMessage({ seq: ++this.seq, age_ms: 0, ...change });
    this.socket?.onmessage?.({ data: JSON.stringify(m) });
    await settle();
  }

  judged = () => this.asked.filter((a) => a.method === "shown");
  headline = () => this.app.liveVerdict.current.value?.verdict.headline;
}

/** Lets every answer that is on its way arrive. */
async function settle() {
  for (let i = 0; i < 20; i++) await Promise.resolve();
}

let t: Table;
beforeEach(async () => {
  vi.useFakeTimers();
  t = new Table();
  await t.app.core.load();
  await settle();
});
afterEach(() => {
  t.app.client.stop();
  vi.useRealTimers();
});

const bronze = { placement: 1, mean_g: 3.11, shown: "3.11" };
const light = { placement: 2, mean_g: 2.26, shown: "2.26" };
const empty = { phase: "empty", mean_g: null, u_g: null, shown: "0.00" };

describe("the store", () => {
  it("judges what lands on the pan, with the estimate as it is", async () => {
    await t.weigh(bronze);
    expect(t.headline()).toBe("Bronze cent");
    expect(t.judged()[0]?.q).toEqual({
      country: "US",
      denomination: "cent",
      year: 0,
      mint: "",
      mean_g: 3.11,
      u_g: 0.0076,
      resolution_g: 0.01,
    });
  });

  it("asks of a coin that may be half put down with both uncertainties", async () => {
    await t.weigh({ ...bronze, phase: "moving", u_g: 0.7, half: 0.014, u_whole_g: 0.0093 });
    expect(t.judged()[0]?.q).toMatchObject({ u_g: 0.7, half: 0.014, u_whole_g: 0.0093 });
  });

  it("asks with what was found out about the coin, and begins anew with the next", async () => {
    await t.weigh(bronze);
    t.app.evidence.set("magnetic", "no");
    await settle();
    expect(t.judged().at(-1)?.q).toMatchObject({ mean_g: 3.11, evidence: { magnetic: "no" } });
    await t.weigh({ ...empty, placement: 1 });
    t.app.evidence.set("edge", "plain"); // in the hand
    await settle();
    await t.weigh({ ...light, placement: 1, phase: "moving" }); // its number comes later
    await t.weigh(light);
    expect(t.judged().at(-1)?.q).not.toHaveProperty("evidence");
    expect(t.app.evidence.given.value).toEqual({});
    expect(t.app.evidence.before.value).toEqual({ magnetic: "no", edge: "plain" });
  });

  it("asks once about an estimate that doesn't change", async () => {
    for (let i = 0; i < 5; i++) await t.weigh(bronze);
    expect(t.judged()).toHaveLength(1);
  });

  it("keeps the last coin's verdict when the pan is empty", async () => {
    await t.weigh(bronze);
    await t.weigh(empty);
    expect(t.app.liveVerdict.current.value).toBeNull();
    expect(t.app.liveVerdict.last.value?.verdict.headline).toBe("Bronze cent");
    await t.weigh(light);
    expect(t.headline()).toBe("Too light");
  });

  it("judges nothing stale, and nothing with a problem", async () => {
    await t.weigh({ ...bronze, age_ms: 1200 });
    await t.weigh({ ...bronze, problem: { code: "garbled", sentence: "Broken." } });
    expect(t.judged()).toHaveLength(0);
    expect(t.headline()).toBeUndefined();
  });

  it("judges nothing until a denomination is tapped", async () => {
    t.app.prefs.denomination.value = "";
    await t.weigh(bronze);
    expect(t.judged()).toHaveLength(0);
    t.app.pick("dime");
    await settle();
    expect(t.judged().at(-1)?.q.denomination).toBe("dime");
    expect(t.stored.get("panside.denomination")).toBe('"dime"');
  });

  it("judges the coin on the pan anew when the year is typed", async () => {
    await t.weigh(bronze);
    t.app.date.setYear("1982");
    await settle();
    expect(t.judged().at(-1)?.q.year).toBe(1982);
    await t.weigh(light);
    expect(t.judged().at(-1)?.q.year).toBe(0);
  });

  it("shows why a coin can't be judged", async () => {
    t.judge = () => ({ error: { code: "no-such-issue", sentence: "None was struck.", field: "year" } });
    await t.weigh(bronze);
    expect(t.app.liveVerdict.fault.value).toMatchObject({ sentence: "None was struck.", field: "year" });
    await t.weigh(empty);
    expect(t.app.liveVerdict.fault.value).toBeNull();
  });

  it("throws away an answer to a question that has changed meanwhile", async () => {
    const answers: (() => void)[] = [];
    const core = t.app.core as unknown as { local: { call(m: string, json: string): Promise<string> } };
    core.local.call = (m, json) =>
      m === "shown"
        ? new Promise((resolve) => {
            answers.push(() => resolve(fakeShown(json, t.judge)));
          })
        : Promise.resolve('{"ok":{}}');
    await t.weigh(bronze);
    await t.weigh(light);
    answers[0]?.();
    await settle();
    expect(t.headline()).toBeUndefined();
    answers[1]?.();
    await settle();
    expect(t.headline()).toBe("Too light");
  });

  it("looks up what to inspect with the verdict's hint", async () => {
    await t.weigh(light);
    const sheet = t.app.catalogue.sheet.value;
    expect(sheet.is === "sheet" && sheet.sheet.look[0]?.kind).toBe("light");
  });

  it("announces each settled verdict once, in the words for the ear", async () => {
    const said: string[] = [];
    t.app.announcer.words.subscribe((w) => w && said.push(w));
    await t.weigh({ ...bronze, phase: "moving" });
    for (let i = 0; i < 3; i++) await t.weigh({ ...bronze, mean_g: 3.11 + i / 1000 });
    await t.weigh(empty);
    await t.weigh(light);
    expect(said).toEqual(["Bronze.", "Look at this one."]);
  });

  it("announces a problem once", async () => {
    const said: string[] = [];
    t.app.announcer.words.subscribe((w) => w && said.push(w));
    const problem = { code: "port-lost", sentence: "The cable came loose." };
    for (let i = 0; i < 3; i++) await t.weigh({ ...bronze, problem });
    expect(said).toEqual(["The cable came loose."]);
  });

  it("announces once that a load must be put on again", async () => {
    await t.weigh({ phase: "withheld", mean_g: null, u_g: null });
    expect(t.app.announcer.words.value).toBe(text.phaseHint.withheld);
    t.app.announcer.words.value = "";
    await t.weigh({ phase: "withheld", mean_g: null, u_g: null });
    expect(t.app.announcer.words.value).toBe("");
    expect(t.app.liveVerdict.current.value).toBeNull();
  });

  it("takes a sitting's word of an unplugged scale back once it weighs again", async () => {
    await t.weigh({ phase: "empty", mean_g: null, u_g: null });
    t.app.beginHands();
    const problem = { code: "port-lost", sentence: "The cable came loose." };
    await t.weigh({ phase: "none", problem });
    expect(t.app.handsFree.caption.value.words).toBe(problem.sentence);
    await t.weigh({ phase: "none", mean_g: null, u_g: null, shown: null });
    expect(t.app.handsFree.caption.value.words).toBe(text.hands.said.scaleBack);
    await t.weigh({ phase: "settled", placement: 17 });
    expect(t.app.handsFree.caption.value.words).toBe(text.hands.said.weighsAgain);
  });

  it("offers the current denominations as keys", () => {
    expect(t.app.denominationButtons.value.map((d) => d.id)).toEqual(["cent", "dime"]);
  });

  it("forgets its joining only if the server, asked again, doesn't know it", async () => {
    const bye = () =>
      t.socket?.onmessage?.({ data: JSON.stringify({ type: "bye", code: "not-joined", sentence: "Who?" }) });
    bye();
    await settle();
    expect(t.app.session.state.value.at).toBe("joined");
    await vi.advanceTimersByTimeAsync(2000);
    t.meStatus = 401;
    bye();
    await vi.advanceTimersByTimeAsync(0);
    await settle();
    expect(t.app.session.state.value).toMatchObject({ at: "out", fault: "ended" });
  });
});
