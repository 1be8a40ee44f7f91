import { describe, expect, it } from "vitest";
import type { Answer } from "../core/types";
import { memoryStorage } from "../device/local-storage";
import { type MicrophoneTrouble, NoMicrophone, type OpenMicrophone, troubleOf } from "./microphone";
import { Ringing } from "./ringing";
import type { FromSenses, SensesWorker, ToSenses } from "./senses";

const rung = (hz: number) => ({ at: 1, peaks: [{ hz, u: 5, decay: 0.1, level: 0 }] });

/** A worker that says what a test tells it to. */
class FakeSenses implements SensesWorker {
  onmessage: SensesWorker["onmessage"] = null;
  onerror: SensesWorker["onerror"] = null;
  ended = false;
  together: unknown = { why: "", hz: [8950], u: 0.002 };

  constructor() {
    queueMicrotask(() => this.say({ type: "ready" }));
  }
  say(data: FromSenses): void {
    this.onmessage?.({ data });
  }
  heard(rings: unknown[], refused: string[] = [], level = -30): void {
    this.say({
      type: "heard",
      answer: { rings, refused: refused.map((why) => ({ at: 0, why })), level },
    });
  }
  postMessage(m: ToSenses): void {
    if ("id" in m) this.say({ type: "together", id: m.id, answer: this.together });
  }
  terminate(): void {
    this.ended = true;
  }
}

function table(open?: OpenMicrophone, storage = memoryStorage()) {
  const asked: { method: string; question: Record<string, unknown> }[] = [];
  const senses: FakeSenses[] = [];
  const clock = { now: 1_000_000 };
  let stopped = 0;
  const ringing = new Ringing({
    core: {
      call: async (method, question): Promise<Answer<unknown>> => {
        asked.push({ method, question: question as Record<string, unknown> });
        return { ok: { alloy: "clad", why: "", metals: [] } };
      },
    },
    storage,
    open: open ?? (async () => ({ rate: 48000, stop: () => stopped++ })),
    worker: () => {
      const s = new FakeSenses();
      senses.push(s);
      return s;
    },
    now: () => clock.now,
  });
  const last = (): FakeSenses => {
    const s = senses.at(-1);
    if (!s) throw new Error("nothing listens");
    return s;
  };
  return { ringing, asked, last, clock, storage, stops: () => stopped };
}

const settled = () => new Promise((resolve) => setTimeout(resolve, 0));

describe("three rings", () => {
  it("make an answer, and switch the microphone off", async () => {
    const { ringing, asked, last, stops } = table();
    await ringing.about({ country: "US", denomination: "quarter" });
    await ringing.start();
    expect(ringing.state.value.is).toBe("on");
    last().heard([rung(8950)]);
    last().heard([], ["click"]);
    expect(ringing.refused.value).toBe("click");
    last().heard([rung(8955), rung(8940)]);
    expect(ringing.refused.value).toBeNull();
    await settled();
    expect(ringing.state.value.is).toBe("off");
    expect(stops()).toBe(1);
    expect(last().ended).toBe(true);
    expect(asked.at(-1)).toEqual({
      method: "ring",
      question: { country: "US", denomination: "quarter", ring: { hz: [8950], u: 0.002 } },
    });
    expect(ringing.told.value?.alloy).toBe("clad");
    expect(JSON.parse(ringing.asEvidence())).toEqual({ hz: [8950], u: 0.002 });
  });

  it("of different coins are dropped, and the ear goes on", async () => {
    const { ringing, last } = table();
    await ringing.about({ country: "US", denomination: "quarter" });
    await ringing.start();
    last().together = { why: "differ", hz: [], u: 0 };
    last().heard([rung(8950), rung(6000), rung(7000)]);
    await settled();
    expect(ringing.refused.value).toBe("differ");
    expect(ringing.rings.value).toHaveLength(0);
    expect(ringing.state.value.is).toBe("on");
  });

  it("can be taken back one by one", async () => {
    const { ringing, last } = table();
    await ringing.about({ country: "US", denomination: "quarter" });
    await ringing.start();
    last().heard([rung(8950), rung(6000)]);
    ringing.takeBack();
    expect(ringing.rings.value).toHaveLength(1);
  });
});

describe("a microphone", () => {
  const troubles: [unknown, MicrophoneTrouble][] = [
    [new NoMicrophone("not-encrypted"), "not-encrypted"],
    [new DOMException("", "NotAllowedError"), "refused"],
    [new DOMException("", "NotFoundError"), "none"],
    [new DOMException("", "NotReadableError"), "held"],
    [new Error("of another kind"), "failed"],
  ];
  it.each(troubles)("that fails with %s is %s", async (cause, why) => {
    expect(troubleOf(cause)).toBe(why);
    const { ringing, last } = table(() => Promise.reject(cause));
    await ringing.start();
    expect(ringing.state.value).toEqual({ is: "trouble", why });
    expect(last().ended).toBe(true);
  });

  it("that gives nothing for three seconds is silent", async () => {
    const { ringing, last, clock } = table();
    await ringing.start();
    last().heard([], [], -120);
    expect(ringing.state.value.is).toBe("on");
    clock.now += 3001;
    last().heard([], [], -120);
    expect(ringing.state.value).toEqual({ is: "trouble", why: "silent" });
  });

  it("that comes after stop is switched off at once", async () => {
    let give: (m: { rate: number; stop: () => void }) => void = () => {};
    const { ringing } = table(() => new Promise((resolve) => (give = resolve)));
    const starting = ringing.start();
    ringing.stop();
    let off = false;
    give({ rate: 48000, stop: () => (off = true) });
    await starting;
    await settled();
    expect(off).toBe(true);
    expect(ringing.state.value.is).toBe("off");
  });
});

describe("a known coin", () => {
  it("stands for the evening, on this phone, and goes with what is asked", async () => {
    const first = table();
    await first.ringing.about({ country: "US", denomination: "quarter" });
    await first.ringing.start();
    first.last().heard([rung(8950), rung(8950), rung(8950)]);
    await settled();
    first.ringing.keepAsKnown("us-quarter-clad", "clad");
    expect(first.ringing.evidence.value).toBeNull();

    const later = table(undefined, first.storage);
    later.clock.now += 3600_000;
    expect(later.ringing.known.value?.planchet).toBe("us-quarter-clad");
    await later.ringing.about({ country: "US", denomination: "quarter" });
    await later.ringing.start();
    later.last().heard([rung(6000), rung(6000), rung(6000)]);
    await settled();
    expect(later.asked.at(-1)?.question.ring).toMatchObject({ known: { planchet: "us-quarter-clad" } });

    const forgotten = table(undefined, memoryStorage());
    expect(forgotten.ringing.known.value).toBeNull();
  });

  it("is taken together with more of its kind, and not with another", async () => {
    const { ringing, last } = table();
    await ringing.about({ country: "US", denomination: "quarter" });
    const know = async (hz: number, planchet: string) => {
      await ringing.start();
      last().together = JSON.stringify({ why: "", hz: [hz], u: 0.002 });
      last().heard([rung(hz), rung(hz), rung(hz)]);
      await settled();
      ringing.keepAsKnown(planchet, planchet);
      return ringing.known.value;
    };
    expect(await know(9000, "clad")).toMatchObject({ coins: 1, hz: [9000] });
    expect(await know(9060, "clad")).toMatchObject({ coins: 2, hz: [9030] });
    expect(await know(9000, "clad")).toMatchObject({ coins: 3, hz: [9020] });
    expect(await know(16000, "clad")).toMatchObject({ coins: 1, hz: [16000] });
    expect(await know(6000, "silver")).toMatchObject({ coins: 1, hz: [6000] });
  });

  it("is forgotten the next day, and when it is damaged", () => {
    const kept = (value: string) => {
      const storage = memoryStorage();
      storage.setItem("panside.rung-known", value);
      return table(undefined, storage).ringing.known.value;
    };
    const whole = { planchet: "p", name: "n", hz: [9000], u: 0.002, coins: 2 };
    expect(kept(JSON.stringify({ ...whole, at: 1_000_000 - 7 * 3600_000 }))).toEqual(whole);
    expect(kept(JSON.stringify({ ...whole, at: 1_000_000 - 9 * 3600_000 }))).toBeNull();
    expect(kept('{"at":1')).toBeNull();
    expect(kept("[]")).toBeNull();
  });
});
