import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inPicture, mostScale, onGlass, wholeOn, Zoom } from "./zoom";

const glass = { width: 400, height: 300 };
const picture = { width: 2000, height: 1000 };

function zoomed(): Zoom {
  const z = new Zoom();
  z.resize(glass);
  z.show(picture);
  return z;
}

describe("a picture on the glass", () => {
  it("stands whole at first, and again after another glass", () => {
    const z = zoomed();
    expect(z.view.value).toEqual({ x: 1000, y: 500, scale: 0.2 });
    z.resize({ width: 800, height: 800 });
    expect(z.view.value.scale).toBe(0.4);
    z.zoom(2);
    z.resize(glass);
    expect(z.view.value.scale).toBe(0.8);
  });

  it("keeps the place under the fingers while it grows", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 50, max: 350 }),
        fc.integer({ min: 80, max: 220 }),
        fc.double({ min: 1, max: 8, noNaN: true }),
        (x, y, by) => {
          const z = zoomed();
          const before = inPicture(z.view.value, glass, { x, y });
          z.zoom(by, { x, y });
          const after = onGlass(z.view.value, glass, before);
          expect(after.x).toBeCloseTo(x, 6);
          expect(after.y).toBeCloseTo(y, 6);
        },
      ),
    );
  });

  it("grows to single pixels and no further, shrinks to the whole and no further", () => {
    const z = zoomed();
    for (let i = 0; i < 100; i++) z.zoom(1.5);
    expect(z.view.value.scale).toBe(mostScale);
    for (let i = 0; i < 100; i++) z.zoom(0.5);
    expect(z.view.value.scale).toBe(wholeOn(picture, glass).scale);
  });

  it("is never lost from sight", () => {
    const z = zoomed();
    z.zoom(4);
    z.pan(1e6, -1e6);
    expect(z.view.value).toMatchObject({ x: 0, y: 1000 });
  });

  it("comes to where a handle stands, only if that is out of sight", () => {
    const z = zoomed();
    z.zoom(10);
    const still = z.view.value;
    z.reveal({ x: 1000, y: 500 });
    expect(z.view.value).toEqual(still);
    z.reveal({ x: 1500, y: 500 });
    const at = onGlass(z.view.value, glass, { x: 1500, y: 500 });
    expect(at.x).toBeCloseTo(glass.width - 24, 6);
  });
});
