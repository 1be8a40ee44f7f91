import { describe, expect, it } from "vitest";
import { NoAnswer } from "../senses/pictures";
import { Mat, numbersOf } from "./mat";
import { FakePictures, pictureFake } from "./pictures-fake";

const coin = (x: number, more: object = {}) => ({
  x,
  y: 50,
  r: 40,
  color: "",
  side: "",
  act: "leave",
  ...more,
});

async function counted() {
  const pictures = new FakePictures();
  const mat = new Mat(pictureFake("a"), pictures);
  void mat.count();
  await pictures.last("mat-of").answer({ coins: [coin(50), coin(150), coin(250)] });
  return { pictures, mat };
}

describe("coins on a mat", () => {
  it("are counted, with its progress told", async () => {
    const pictures = new FakePictures();
    const mat = new Mat(pictureFake("a"), pictures);
    void mat.count();
    pictures.last("mat-of").how.onProgress?.(0.4);
    expect(mat.doing.value).toEqual({ is: "counting", done: 0.4 });
    await pictures.last("mat-of").answer({ coins: [coin(50), coin(150), { x: "junk" }] });
    expect(mat.coins.value).toHaveLength(2);
    expect(mat.doing.value).toEqual({ is: "idle" });
  });

  it("are told apart by a tapped one, and again without it after undo", async () => {
    const { pictures, mat } = await counted();
    mat.tap({ x: 160, y: 60 });
    expect(mat.chosen.value).toBe(2);
    mat.teach(2, { color: "red" });
    expect(pictures.last("mat-of").question).toMatchObject({ taught: [{ x: 150, y: 50, color: "red" }] });
    await pictures
      .last("mat-of")
      .answer({ coins: [coin(50, { color: "red" }), coin(150, { color: "red" }), coin(250)] });
    expect(numbersOf(mat.coins.value ?? [], (c) => c.color === "red")).toEqual([1, 2]);
    mat.work.undo();
    expect(pictures.last("mat-of").question).toMatchObject({ taught: [] });
  });

  it("ask for the newest lessons only, once the answer before is there", async () => {
    const { pictures, mat } = await counted();
    const before = pictures.times("mat-of");
    mat.teach(1, { color: "brown", side: "heads" });
    mat.teach(2, { side: "tails" });
    mat.wantUp("heads");
    mat.want("brown");
    expect(pictures.times("mat-of")).toBe(before + 1);
    await pictures.last("mat-of").answer({ coins: [coin(50), coin(150), coin(250)] });
    expect(pictures.times("mat-of")).toBe(before + 2);
    expect(pictures.last("mat-of").question).toMatchObject({
      taught: [{ color: "brown", side: "heads" }, { side: "tails" }],
      pick: ["brown"],
      up: "heads",
    });
  });

  it("taught the same again are untaught, and no longer picked up", async () => {
    const { mat } = await counted();
    mat.teach(3, { color: "grey" });
    mat.want("grey");
    mat.teach(3, { color: "grey" });
    expect(mat.work.now.value).toEqual({ taught: new Map(), pick: [], up: "" });
  });

  it("that aren't there are said so", async () => {
    const { mat } = await counted();
    mat.tap({ x: 600, y: 600 });
    expect([mat.chosen.value, mat.refused.value]).toEqual([0, "not-there"]);
    mat.tap({ x: 50, y: 50 });
    expect([mat.chosen.value, mat.refused.value]).toEqual([1, null]);
  });

  it("that can't be counted say why in the program's own word, and are stopped at once", async () => {
    const pictures = new FakePictures();
    const mat = new Mat(pictureFake("a"), pictures);
    void mat.count();
    await pictures.last("mat-of").fail(new NoAnswer("failed", "mat made nothing", "none"));
    expect(mat.refused.value).toBe("none");
    const counting = mat.count();
    mat.stop();
    await counting;
    expect([mat.refused.value, mat.doing.value]).toEqual(["stopped", { is: "idle" }]);
    void mat.count();
    await pictures.last("mat-of").answer({ why: "no such word" });
    expect(mat.refused.value).toBe("failed");
  });

  it("that were stopped while they were told apart stay counted", async () => {
    const { mat } = await counted();
    mat.teach(1, { color: "red" });
    mat.teach(2, { color: "brown" });
    mat.stop();
    await new Promise((resolve) => setTimeout(resolve, 0));
    expect([mat.refused.value, mat.coins.value?.length]).toEqual(["stopped", 3]);
  });
});
