import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { NoAnswer } from "../senses/pictures";
import { FakePictures, pictureFake } from "./pictures-fake";
import { lampSides, lightAt, padOf, SideLight } from "./side-light";

const ellipse = { x: 500, y: 400, a: 300, b: 300, turn: 0 };

async function made() {
  const pictures = new FakePictures();
  const light = new SideLight(pictures);
  lampSides.forEach((_, n) => void light.put(n, pictureFake(`${n}`)));
  void light.make();
  await pictures.last("rim").answer({ rim: ellipse });
  return { pictures, light };
}

describe("side light", () => {
  it("leads from side to side, and back to one that is taken again", () => {
    const light = new SideLight(new FakePictures());
    expect(light.next).toBe(0);
    lampSides.forEach((_, n) => void light.put(n, pictureFake(`${n}`)));
    expect(light.next).toBeNull();
    light.put(2, null);
    expect(light.next).toBe(2);
  });

  it("becomes a shape that is lit at once, and dark again when a photo is taken anew", async () => {
    const { pictures, light } = await made();
    await pictures.last("relief-of").answer({ apart: 0.3, doubt: 0.01, x: 5, y: 6, r: 100 });
    expect(light.making.value).toEqual({ is: "made", apart: 0.3, doubt: 0.01, disc: { x: 5, y: 6, r: 100 } });
    expect(light.lit.value?.width).toBe(1);
    light.put(1, pictureFake("again"));
    expect(light.making.value).toEqual({ is: "idle" });
    expect(light.lit.value).toBeNull();
  });

  it("says why not in the program's own word", async () => {
    const { pictures, light } = await made();
    await pictures.last("relief-of").fail(new NoAnswer("failed", "relief made nothing", "slipped"));
    expect(light.making.value).toEqual({ is: "refused", why: "slipped" });
    void light.make();
    await pictures.last("rim").answer({ why: "none" });
    expect(light.making.value).toEqual({ is: "refused", why: "no-rim" });
    const making = light.make();
    light.stop();
    await making;
    expect(light.making.value).toEqual({ is: "refused", why: "stopped" });
  });
});

it("a light is where it was put on its pad", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.05, max: 1, noNaN: true }),
      fc.double({ min: -3, max: 3, noNaN: true }),
      (far, turn) => {
        const [x, y] = [far * Math.cos(turn), far * Math.sin(turn)];
        const back = padOf(lightAt(x, y));
        expect(Math.hypot(back.x - x, back.y - y)).toBeLessThan(0.02);
      },
    ),
  );
  expect(lightAt(0, -1)).toEqual({ side: 90, up: 10 });
  expect(lightAt(5, 0)).toEqual({ side: -0, up: 10 });
});
