import { describe, expect, test } from "vitest";
import { Awake } from "../device/awake";
import { type Camera, cameraTroubleOf, NoCamera } from "./camera";
import { CameraScale } from "./camera-scale";
import type { SensesWorker, ToSenses } from "./senses";

/** A worker whose answers are written by the test. */
class Answers implements SensesWorker {
  onmessage: SensesWorker["onmessage"] = null;
  onerror: SensesWorker["onerror"] = null;
  asked: ToSenses[] = [];
  next: Record<string, unknown> = {};
  ended = false;

  constructor() {
    queueMicrotask(() => this.onmessage?.({ data: { type: "ready" } }));
  }
  postMessage(m: ToSenses): void {
    this.asked.push(m);
    const answer = { why: "", text: "", taught: false, ...this.next };
    queueMicrotask(() => this.onmessage?.({ data: { type: "looked", answer } }));
  }
  terminate(): void {
    this.ended = true;
  }
}

function table(open?: () => Promise<Camera>) {
  const worker = new Answers();
  let now = 0;
  let go: (() => void) | null = null;
  const camera: Camera = {
    view: null,
    width: 640,
    height: 480,
    grab: () => ({ width: 640, height: 480, rgba: new Uint8ClampedArray(4) }),
    stop: () => {
      stopped.is = true;
    },
  };
  const stopped = { is: false };
  let lost = () => {};
  const scale = new CameraScale({
    open:
      open ??
      ((l) => {
        lost = l;
        return Promise.resolve(camera);
      }),
    worker: () => worker,
    awake: new Awake(null),
    now: () => now,
    wait: () =>
      new Promise((resolve) => {
        go = resolve;
      }),
  });
  /** Lets one picture be looked at, so much later. */
  const picture = async (ms: number, next: Record<string, unknown>) => {
    worker.next = next;
    now += ms;
    go?.();
    for (let k = 0; k < 8; k++) await Promise.resolve();
  };
  const settle = async () => {
    for (let k = 0; k < 12; k++) await Promise.resolve();
  };
  return { scale, worker, picture, stopped, settle, lose: () => lost() };
}

async function reading() {
  const t = table();
  await t.scale.start();
  await t.scale.framed();
  t.worker.next = { why: "too-alike" };
  await t.scale.shown("0.00");
  t.worker.next = { taught: true };
  await t.scale.shown("3.11");
  return t;
}

describe("the camera as a scale", () => {
  test("is framed in pixels of the part that is looked at", async () => {
    const t = table();
    await t.scale.start();
    expect(t.scale.state.value.is).toBe("framing");
    t.scale.move(0, { x: 0.1, y: 0.25 });
    t.scale.move(2, { x: 2, y: -1 });
    await t.scale.framed();
    expect(t.worker.asked[0]).toMatchObject({ frame: [64, 120, 544, 168, 640, 0, 96, 312] });
    expect(t.scale.state.value.is).toBe("teaching");
  });

  test("looks at no more than the display and its surroundings", async () => {
    const t = table();
    await t.scale.start();
    await t.scale.framed();
    expect(t.worker.asked[0]).toMatchObject({ frame: [36, 36, 484, 36, 484, 180, 36, 180] });
  });

  test("is taught by two weights, and the first is no fault", async () => {
    const t = await reading();
    expect(t.scale.typed.value).toEqual(["0.00", "3.11"]);
    expect(t.scale.why.value).toBe("");
    expect(t.scale.state.value.is).toBe("reading");
  });

  test("says what keeps it from being taught", async () => {
    const t = table();
    await t.scale.start();
    await t.scale.framed();
    t.worker.next = { why: "bad-text" };
    await t.scale.shown("abc");
    expect(t.scale.why.value).toBe("bad-text");
    expect(t.scale.typed.value).toEqual([]);
  });

  test("gives a number only without a reason against it, and says a reason that lasts", async () => {
    const t = await reading();
    await t.picture(60, { text: "5.67" });
    expect(t.scale.text.value).toBe("5.67");
    await t.picture(60, { text: "5.61", why: "doubt" });
    expect(t.scale.text.value).toBe("");
    expect(t.scale.why.value).toBe("");
    await t.picture(900, { why: "doubt" });
    expect(t.scale.why.value).toBe("doubt");
    await t.picture(60, { text: "5.67" });
    expect(t.scale.why.value).toBe("");
  });

  test("what was taken is taken once, until the display shows another", async () => {
    const t = await reading();
    await t.picture(60, { text: "5.67" });
    expect(t.scale.take()).toBe("5.67");
    expect(t.scale.taken.value).toBe("5.67");
    await t.picture(60, { why: "moving" });
    expect(t.scale.taken.value).toBe("5.67");
    await t.picture(60, { text: "0.00" });
    expect(t.scale.taken.value).toBe("");
  });

  test("is off when stopped, when framed anew nothing is known", async () => {
    const t = await reading();
    t.scale.reframe();
    expect(t.scale.state.value.is).toBe("framing");
    expect(t.scale.typed.value).toEqual([]);
    t.scale.stop();
    expect(t.scale.state.value.is).toBe("off");
    expect(t.stopped.is).toBe(true);
    expect(t.worker.ended).toBe(true);
  });

  test("a camera that another program takes is said, and everything let go", async () => {
    const t = await reading();
    t.lose();
    expect(t.scale.state.value).toEqual({ is: "trouble", why: "held" });
    expect(t.worker.ended).toBe(true);
  });

  test.each([
    ["NotAllowedError", "refused"],
    ["NotFoundError", "none"],
    ["NotReadableError", "held"],
    ["TypeError", "failed"],
  ] as const)("%s is %s", async (name, why) => {
    const t = table(() => Promise.reject(new DOMException("", name)));
    await t.scale.start();
    expect(t.scale.state.value).toEqual({ is: "trouble", why });
  });

  test("a page without an encrypted address", () => {
    expect(cameraTroubleOf(new NoCamera("not-encrypted"))).toBe("not-encrypted");
  });
});
