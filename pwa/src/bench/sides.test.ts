import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Bench } from "./bench";
import { keptBetween, levelIn } from "./keep";
import { FakePictures, pictureFake } from "./pictures-fake";
import { across, asLevel, SidesTurn } from "./sides";
import { nothingYet, type Rim } from "./work";

const rim: Rim = { x: 500, y: 400, a: 300, b: 300, turn: 0, by: "found", covered: 1 };
const held = [{ x: 0, y: 0 }];

async function table() {
  const pictures = new FakePictures();
  const bench = new Bench(pictureFake("front"), pictures, { ...nothingYet, rim, held });
  const sides = new SidesTurn(bench, pictures);
  void sides.ofCoin({ country: "US", denomination: "cent" });
  await pictures.last("struck").answer({ over: "top-to-bottom", sure: true });
  return { pictures, bench, sides };
}

async function both() {
  const t = await table();
  void t.sides.take(pictureFake("back"), null);
  await t.pictures.last("rim").answer({ rim: { ...rim, a: 200, b: 200 } });
  return t;
}

describe("the angle between two sides", () => {
  it("follows from a line on each, and not before both are laid", async () => {
    const { pictures, sides } = await both();
    sides.affirm("obverse");
    expect(pictures.times("level")).toBe(0);
    sides.move("reverse", 1, { x: 700, y: 300 });
    await pictures.last("level").answer({ degrees: 0, u: 1 });
    expect(pictures.last("level").question).toMatchObject({ rim: { a: 200 }, along: "level" });
    await pictures.last("level").answer({ degrees: 30, u: 1.1 });
    expect(pictures.last("between").question).toEqual({
      obverse: [{ degrees: 0, u: 1 }],
      reverse: [{ degrees: 30, u: 1.1 }],
      over: "top-to-bottom",
      struck: "top-to-bottom",
      by: "ruler",
    });
    await pictures.last("between").answer({ degrees: 30, u: 2.5, call: "turned" });
    expect(sides.says.value).toEqual({ degrees: 30, u: 2.5, call: "turned" });
    sides.lines.undo();
    expect(sides.says.value).toBeNull();
  });

  it("counts the other way and hand that the coin was turned over by", async () => {
    const { pictures, sides } = await both();
    sides.affirm("obverse");
    sides.affirm("reverse");
    sides.turned.value = "side-to-side";
    sides.by.value = "free";
    for (let n = 0; n < 12 && pictures.times("between") === 0; n++) {
      for (const a of pictures.asked.filter((a) => a.method === "level"))
        await a.answer({ degrees: 1, u: 1 });
    }
    const last = pictures.asked.filter((a) => a.method === "between").at(-1);
    expect(last?.question).toMatchObject({ over: "side-to-side", struck: "top-to-bottom", by: "free" });
  });

  it("takes a reference, whose own level counts, and shows it as a line", async () => {
    const { pictures, sides } = await both();
    const reference = { picture: pictureFake("mine"), rim, level: across(rim, 35) };
    void sides.byReference("obverse", reference);
    await pictures.last("over").answer({ degrees: -23, u: 0.2 });
    await pictures.last("level").answer({ degrees: 35, u: 1 });
    const line = sides.lineOf("obverse");
    expect(line?.by).toEqual([
      { degrees: -23, u: 0.2 },
      { degrees: 35, u: 1 },
    ]);
    expect(line?.points[1].y).toBeCloseTo(400 - 240 * Math.sin((12 * Math.PI) / 180));
    expect(pictures.forgotten).toEqual([reference.picture.source]);
    // A hand that moves it overrules what the reference said.
    sides.move("obverse", 1, { x: 1, y: 2 });
    expect(sides.lineOf("obverse")?.by).toBeUndefined();
    void sides.byReference("obverse", { ...reference, level: null });
    await pictures.last("over").answer({ degrees: 12, u: 0.2 });
    expect(sides.lineOf("obverse")?.by).toEqual([{ degrees: 12, u: 0.2 }, {}]);
  });

  it("says of which side, and why, it can't be told, and can be stopped", async () => {
    const { pictures, sides } = await table();
    void sides.take(pictureFake("back"), null);
    await pictures.last("rim").answer({ why: "none" });
    expect(sides.doing.value).toEqual({ is: "refused", why: "no-rim", face: "reverse" });
    expect(sides.lineOf("reverse")).toBeNull();
    void sides.byReference("obverse", { picture: pictureFake("mine"), rim, level: null });
    await pictures.last("over").answer({ why: "no-fit" });
    expect(sides.doing.value).toEqual({ is: "refused", why: "no-fit", face: "obverse" });
    const seeking = sides.seekAgain();
    sides.stop();
    await seeking;
    expect(sides.doing.value).toEqual({ is: "refused", why: "stopped", face: "reverse" });
  });

  it("keeps each line with its picture when the sides are swapped", async () => {
    const { sides } = await both();
    sides.move("obverse", 0, { x: 7, y: 8 });
    sides.swap();
    expect(sides.here.value).toBe("reverse");
    expect(sides.lineOf("reverse")?.points[0]).toEqual({ x: 7, y: 8 });
    expect(sides.pictureOf("reverse")?.picture.name).toBe("front");
    expect(sides.lineOf("obverse")?.laid).toBe(false);
  });
});

it("a level that was kept is read as it was laid, on any ellipse", () => {
  fc.assert(
    fc.property(
      fc.double({ min: -179, max: 179, noNaN: true }),
      fc.double({ min: 0.8, max: 1, noNaN: true }),
      (degrees, flat) => {
        const e = { x: 500, y: 400, a: 300, b: 300 * flat, turn: 25 };
        const [a, b] = across(e, degrees);
        // Back to the round coin: stretched across the longer axis.
        const lies = (25 * Math.PI) / 180;
        const [dx, dy] = [b.x - a.x, -(b.y - a.y)];
        const long = dx * Math.cos(lies) + dy * Math.sin(lies);
        const short = (-dx * Math.sin(lies) + dy * Math.cos(lies)) / flat;
        const seen = (Math.atan2(short, long) * 180) / Math.PI + 25;
        expect(Math.abs(((seen - degrees + 540) % 360) - 180)).toBeLessThan(1e-6);
        const upright = across(e, degrees + 90);
        expect(asLevel(e, { along: "upright", points: upright })[1].x).toBeCloseTo(b.x, 6);
        expect(asLevel(e, { along: "upright", points: upright })[1].y).toBeCloseTo(b.y, 6);
        const levels = { obverse: [a, b], reverse: [b, a] } as const;
        const kept = keptBetween({ obverse: "o", reverse: "r" }, levels, { degrees: 1, u: 2 }, 5);
        expect(levelIn({ m: kept }, "o")?.[1].x).toBeCloseTo(b.x, 3);
        expect(levelIn({ m: kept }, "r")?.[1].x).toBeCloseTo(a.x, 3);
        expect(levelIn({ m: kept }, "x")).toBeNull();
      },
    ),
  );
});
