import { describe, expect, it } from "vitest";
import { type Camera, NoCamera } from "../senses/camera";
import type { Source } from "../senses/pictures";
import { burstOf, LiveCamera } from "./live-camera";

/** A camera whose pictures are numbered, and as sharp as told. */
function table(sharp: (n: number) => number, open?: () => Promise<Camera>) {
  let taken = 0;
  let stopped = 0;
  const closed: number[] = [];
  const camera: Camera = {
    view: null,
    width: 800,
    height: 600,
    grab: ({ width, height }) => ({ width, height, rgba: new Uint8ClampedArray([taken]) }),
    stop: () => stopped++,
  };
  let lose = () => {};
  const live = new LiveCamera({
    pictures: {
      ask: async (_method: string, of: readonly Source[]) => {
        const [s] = of;
        const p = s && "pixels" in s ? await s.pixels() : null;
        return { sharpness: sharp(p?.rgba[0] ?? 0) };
      },
      forget: () => {},
    },
    open:
      open ??
      ((lost) => {
        lose = lost;
        return Promise.resolve(camera);
      }),
    there: async () => [{ id: "a", name: "Microscope" }],
    still: async () => {
      const n = taken++;
      return { n, close: () => closed.push(n) } as unknown as ImageBitmap;
    },
    wait: () => new Promise((resolve) => setTimeout(resolve, 0)),
  });
  return { live, closed, lose: () => lose(), stops: () => stopped };
}

describe("a live camera", () => {
  it("keeps the sharpest of a burst and lets the others go", async () => {
    const t = table((n) => (n === 3 ? 9 : 1));
    await t.live.start();
    const best = (await t.live.burst()) as unknown as { n: number };
    expect(best.n).toBe(3);
    expect(t.closed).toHaveLength(burstOf - 1);
    expect(t.live.bursting.value).toBeNull();
    t.live.stop();
  });

  it("draws how sharp it is while it is on, and not after", async () => {
    const t = table(() => 5);
    await t.live.start();
    expect(t.live.cameras.value).toEqual([{ id: "a", name: "Microscope" }]);
    await expect.poll(() => t.live.course.value.length).toBeGreaterThan(3);
    t.live.stop();
    expect(t.live.course.value).toEqual([]);
    expect(t.live.state.value.is).toBe("off");
    expect(t.stops()).toBe(1);
    expect(await t.live.freeze()).toBeNull();
  });

  it("says why there is none, and that it was taken away", async () => {
    const none = table(
      () => 1,
      () => Promise.reject(new NoCamera("not-encrypted")),
    );
    await none.live.start();
    expect(none.live.state.value).toEqual({ is: "trouble", why: "not-encrypted" });
    const t = table(() => 1);
    await t.live.start();
    t.lose();
    expect(t.live.state.value).toEqual({ is: "trouble", why: "held" });
    expect(t.stops()).toBe(1);
  });
});
