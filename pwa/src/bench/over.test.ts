import { describe, expect, it } from "vitest";
import { Bench } from "./bench";
import { Over } from "./over";
import { FakePictures, pictureFake } from "./pictures-fake";
import { nothingYet, type Rim } from "./work";

const rim: Rim = { x: 500, y: 400, a: 300, b: 300, turn: 0, by: "found", covered: 1 };
const map = [1, 0, 0, 1, 5, 6];

function table(first = { ...nothingYet, rim: rim as Rim | null, held: [{ x: 0, y: 0 }] }) {
  const pictures = new FakePictures();
  const bench = new Bench(pictureFake("a"), pictures, first);
  return { pictures, over: new Over(bench, pictures) };
}

describe("another picture", () => {
  it("is laid by its own rim, which is looked for if it isn't known", async () => {
    const { pictures, over } = table();
    void over.take(pictureFake("b"), null);
    await pictures.last("rim").answer({ rim: { ...rim, a: 200, b: 200 } });
    expect(pictures.last("over").question).toMatchObject({ picture: 1, over: 2, otherRim: { a: 200 } });
    await pictures.last("over").answer({ map, degrees: -35, u: 0.1, alike: true });
    expect(over.laying.value).toEqual({ is: "laid" });
    expect(over.fit.value).toEqual({ map, degrees: -35, u: 0.1, alike: true, rough: false });
  });

  it("without a rim, here or there, is refused", async () => {
    const bare = table({ ...nothingYet, rim: null, held: [] });
    await bare.over.take(pictureFake("b"), rim);
    expect(bare.over.laying.value).toEqual({ is: "refused", why: "no-rim" });
    const { pictures, over } = table();
    void over.take(pictureFake("b"), null);
    await pictures.last("rim").answer({ why: "none" });
    expect(over.laying.value).toEqual({ is: "refused", why: "no-rim" });
  });

  it("that doesn't fit isn't shown", async () => {
    const { pictures, over } = table();
    void over.take(pictureFake("b"), rim);
    await pictures.last("over").answer({ why: "no-fit" });
    expect(over.laying.value).toEqual({ is: "refused", why: "no-fit" });
    expect(over.fit.value).toBeNull();
  });

  it("mirrored is laid by the rims alone, at the angle it is turned to", async () => {
    const { pictures, over } = table();
    void over.take(pictureFake("b"), rim);
    void over.look("mirrored");
    await pictures.last("laid").answer({ map });
    expect(over.fit.value?.degrees).toBeNull();
    void over.turnTo(30);
    expect(pictures.last("laid").question).toMatchObject({ degrees: 30, mirrored: true });
    void over.look("faded");
    expect(pictures.times("over")).toBe(2);
    void over.look("blink");
    expect(pictures.times("over")).toBe(2);
  });

  it("turned by a slide is laid once for all turns that came meanwhile, and none is cut off", async () => {
    const { pictures, over } = table();
    void over.take(pictureFake("b"), rim);
    void over.look("mirrored");
    await pictures.last("laid").answer({ map });
    void over.turnTo(10);
    const first = pictures.last("laid");
    void over.turnTo(20);
    void over.turnTo(30);
    expect(pictures.times("laid")).toBe(2);
    expect(first.how.signal?.aborted).toBe(false);
    await first.answer({ map });
    expect(pictures.times("laid")).toBe(3);
    expect(pictures.last("laid").question).toMatchObject({ degrees: 30 });
    await pictures.last("laid").answer({ map });
    expect(over.laying.value).toEqual({ is: "laid" });
    expect(pictures.times("laid")).toBe(3);
  });

  it("that is taken after it makes the first one's answer worthless", async () => {
    const { pictures, over } = table();
    void over.take(pictureFake("b"), rim);
    const first = pictures.last("over");
    void over.take(pictureFake("c"), rim);
    await pictures.last("over").answer({ map, degrees: 1, u: 0.1 });
    await first.answer({ map: [2, 0, 0, 2, 0, 0], degrees: 2, u: 0.1 });
    expect(over.fit.value?.map).toEqual(map);
    expect(pictures.forgotten).toHaveLength(1);
  });
});
