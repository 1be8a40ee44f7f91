import { describe, expect, it } from "vitest";
import { NoAnswer } from "../senses/pictures";
import { Bench } from "./bench";
import { FakePictures, pictureFake } from "./pictures-fake";
import { begun, nothingYet, type Rim } from "./work";

const ellipse = { x: 500, y: 400, a: 300, b: 295, turn: 10 };
const held = [
  [500, 100],
  [240, 550],
  [760, 550],
];
const rim: Rim = { ...ellipse, by: "found", covered: 0.9 };

function table(first = nothingYet) {
  const pictures = new FakePictures();
  return { pictures, bench: new Bench(pictureFake("a"), pictures, first) };
}

describe("a rim", () => {
  it("that is found can be taken back", async () => {
    const { pictures, bench } = table();
    void bench.seek();
    pictures.last("rim").how.onProgress?.(0.4);
    expect(bench.seeking.value).toEqual({ is: "seeking", done: 0.4 });
    await pictures.last("rim").answer({ rim: ellipse, covered: 0.9, u: 0.003, held });
    expect(bench.work.now.value.rim).toEqual({ ...rim, u: 0.003 });
    expect(bench.work.now.value.held).toHaveLength(3);
    bench.work.undo();
    expect(bench.work.now.value.rim).toBeNull();
  });

  it("that isn't to be trusted is none, but where a hand begins", async () => {
    const { pictures, bench } = table();
    void bench.seek();
    await pictures.last("rim").answer({ why: "doubt", rim: ellipse });
    expect(bench.seeking.value).toEqual({ is: "refused", why: "doubt" });
    expect(bench.work.now.value.rim).toBeNull();
    bench.byHand();
    expect(bench.work.now.value.rim).toEqual({ ...ellipse, by: "hand", covered: 1 });
  });

  it("of a coin on a screen is marked", async () => {
    const { pictures, bench } = table();
    void bench.seek();
    await pictures.last("rim").answer({ rim: ellipse, held, screen: true });
    expect(bench.screen.value).toBe(true);
    void bench.seek();
    await pictures.last("rim").answer({ rim: ellipse, held, screen: false });
    expect(bench.screen.value).toBe(false);
  });

  it("is looked for around a place that is tapped", () => {
    const { pictures, bench } = table();
    void bench.seek({ x: 10, y: 20 });
    expect(pictures.last("rim").question).toEqual({ picture: 1, at: [[10, 20]] });
  });

  it("whose search is stopped says so, and one that fails too", async () => {
    const { pictures, bench } = table();
    const seeking = bench.seek();
    bench.stopSeeking();
    await seeking;
    expect(bench.seeking.value).toEqual({ is: "refused", why: "stopped" });
    void bench.seek();
    await pictures.last("rim").fail(new NoAnswer("failed"));
    expect(bench.seeking.value).toEqual({ is: "refused", why: "failed" });
  });

  it("follows a point that is dragged, the newest place only, and one undo takes the drag back", async () => {
    const { pictures, bench } = table({ ...nothingYet, rim, held: held.map(([x = 0, y = 0]) => ({ x, y })) });
    bench.moveHeld(0, { x: 500, y: 90 });
    bench.moveHeld(0, { x: 500, y: 80 });
    const [first, second] = pictures.asked.filter((a) => a.method === "through");
    await second?.answer({ rim: { ...ellipse, a: 320 } });
    await first?.answer({ rim: { ...ellipse, a: 310 } });
    expect(bench.work.now.value.rim).toMatchObject({ a: 320, by: "hand" });
    bench.work.rest();
    bench.work.undo();
    expect(bench.work.now.value.rim).toEqual(rim);
    expect(bench.work.now.value.held[0]).toEqual({ x: 500, y: 100 });
  });

  it("that was kept gets its points again without anything to take back", async () => {
    const { pictures, bench } = table({ ...nothingYet, rim });
    await pictures.last("held").answer({ held });
    expect(bench.work.now.value.held).toHaveLength(3);
    expect(bench.work.canUndo.value).toBe(false);
  });
});

describe("a ruler", () => {
  const mark = begun("m1", "line", { x: 500, y: 400 }, 400, 1);

  it("says nothing without rim and diameter, and is measured once both are there", async () => {
    const { pictures, bench } = table({ ...nothingYet, rim, held: [{ x: 0, y: 0 }] });
    bench.addMark(mark);
    expect(pictures.times("measure")).toBe(0);
    bench.diameter.value = 19.05;
    await pictures.last("measure").answer({ value: 6.35, u: 0.03, unit: "mm" });
    expect(bench.says.value.get("m1")).toEqual({ value: 6.35, u: 0.03, unit: "mm" });
    expect(bench.chosen.value).toBe("m1");
  });

  it("says what its newest place says, whatever is answered when", async () => {
    const { pictures, bench } = table({ ...nothingYet, rim, held: [{ x: 0, y: 0 }] });
    bench.diameter.value = 19.05;
    bench.addMark(mark);
    const old = pictures.last("measure");
    bench.movePoint("m1", 1, { x: 700, y: 400 });
    await pictures.last("measure").answer({ value: 2, u: 0.03, unit: "mm" });
    await old.answer({ value: 1, u: 0.03, unit: "mm" });
    expect(bench.says.value.get("m1")?.value).toBe(2);
    bench.movePoint("m1", 1, { x: 300, y: 400 });
    await pictures.last("measure").answer({ why: "one-place" });
    expect(bench.says.value.has("m1")).toBe(false);
  });

  it("that didn't move isn't measured again", () => {
    const { pictures, bench } = table({ ...nothingYet, rim, held: [{ x: 0, y: 0 }], marks: [mark] });
    bench.diameter.value = 19.05;
    bench.addMark(begun("m2", "area", { x: 1, y: 1 }, 40, 1));
    expect(pictures.times("measure")).toBe(2);
    bench.dropMark("m2");
    expect(pictures.times("measure")).toBe(2);
  });
});
