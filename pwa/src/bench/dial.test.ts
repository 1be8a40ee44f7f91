import { describe, expect, it } from "vitest";
import { marksTaken, turnAt } from "./dial";
import { FakePictures, pictureFake } from "./pictures-fake";
import { SideLight } from "./side-light";

const rim = { x: 500, y: 400, a: 300, b: 300, turn: 0 };

/** Four photos on the dial, with the rims of all of them found. */
async function onDial() {
  const pictures = new FakePictures();
  const light = new SideLight(pictures);
  light.lead({ by: "dial", count: 4 });
  for (let n = 0; n < 4; n++) light.put(n, pictureFake(`${n}`));
  void light.make();
  for (let n = 0; n < 4; n++) await pictures.last("rim").answer({ rim: { ...rim, a: 300 + n } });
  return { pictures, light };
}

describe("a coin on the dial", () => {
  it("is turned back against the numbers, which run clockwise", () => {
    expect(marksTaken(8)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(marksTaken(4)).toEqual([1, 3, 5, 7]);
    expect(marksTaken(4).map(turnAt)).toEqual([0, 90, 180, 270]);
  });

  it("becomes a shape by the turns that were found, one lamp at the top", async () => {
    const { pictures, light } = await onDial();
    expect(pictures.last("turns").question).toMatchObject({
      frames: [{ turn: 0 }, { turn: 90, rim: { a: 301 } }, { turn: 180 }, { turn: 270 }],
    });
    await pictures.last("turns").answer({ frames: [0, 91, 182, 269].map((turn) => ({ turn, map: [1] })) });
    expect(light.making.value.is).toBe("making");
    await pictures.last("relief-of").answer({ apart: 0.2, doubt: 0, x: 5, y: 5, r: 4 });
    expect(light.making.value).toMatchObject({ is: "made", apart: 0.2 });
  });

  it("asks for the photo again that lies at another mark", async () => {
    const { pictures, light } = await onDial();
    await pictures.last("turns").answer({ why: "astray", frame: 2, degrees: 90 });
    expect(light.making.value).toEqual({ is: "refused", why: "astray", mark: 5, off: -90 });
    light.put(2, null);
    expect(light.next).toBe(2);
  });

  it("names the photo without a rim", async () => {
    const pictures = new FakePictures();
    const light = new SideLight(pictures);
    light.lead({ by: "dial", count: 8 });
    for (let n = 0; n < 8; n++) light.put(n, pictureFake(`${n}`));
    void light.make();
    await pictures.last("rim").answer({ rim });
    await pictures.last("rim").answer({ why: "none" });
    expect(light.making.value).toEqual({ is: "refused", why: "no-rim", mark: 2 });
  });

  it("finds its photos again after a look at the other way to take them", () => {
    const light = new SideLight(new FakePictures());
    light.put(1, pictureFake("lamp at the top"));
    light.lead({ by: "dial", count: 4 });
    expect(light.frames.value).toEqual([null, null, null, null]);
    light.put(0, pictureFake("mark 1"));
    light.lead({ by: "lamp" });
    expect(light.frames.value.map((f) => f?.name)).toEqual([
      undefined,
      "lamp at the top",
      undefined,
      undefined,
    ]);
    light.lead({ by: "dial", count: 4 });
    expect(light.next).toBe(1);
  });
});
