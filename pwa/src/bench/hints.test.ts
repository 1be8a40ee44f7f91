import { signal } from "@preact/signals";
import { describe, expect, it } from "vitest";
import { NoAnswer } from "../senses/pictures";
import { Hints, type Lit, mirroredOnto } from "./hints";
import { litPhotos } from "./lit";
import { type OrdinaryCoin, OrdinaryCoins, readOrdinary } from "./ordinary";
import { FakePictures, pictureFake } from "./pictures-fake";
import { lampSides, SideLight } from "./side-light";
import { mapped } from "./zoom";

const ellipse = { x: 500, y: 400, a: 300, b: 300, turn: 0 };
const disc = { x: 5, y: 6, r: 100 };
const lit = (id: string): Lit => ({ id, frames: lampSides.map((side) => pictureFake(`${id} ${side}`)) });
const mark = { kind: "second-image", x: 40, y: 50, r: 20, score: 2, shift: 0.12, toward: 90 };
const bar = { rate: 0.04, coins: 24, simulated: true };
const found = {
  marks: [mark, { kind: "other-side", x: 5, y: 6, r: 100, score: 1.2, degrees: 3 }],
  scores: { "second-image": 0.04, "other-side": 6, differs: 0.2 },
  bars: { "second-image": bar, "other-side": bar, differs: bar },
  map: [1, 0, 0, 1, 2, 3],
};

/** The coin lit, and what makes the shapes of others answer. */
async function table() {
  const pictures = new FakePictures();
  const light = new SideLight(pictures);
  const shape = async () => {
    await pictures.last("rim").answer({ rim: ellipse });
    await pictures.last("relief-of").answer({ apart: 0.3, doubt: 0.01, ...disc });
  };
  lit("mine").frames.forEach((f, n) => void light.put(n, f));
  void light.make();
  await shape();
  return { pictures, light, hints: new Hints(pictures, light), shape };
}

describe("hints", () => {
  it("are marks with what is said of them, on the relief of the coin", async () => {
    const { pictures, hints, shape } = await table();
    void hints.compare(lit("ordinary"), null, 24, []);
    expect(hints.comparing.value.is).toBe("comparing");
    await shape();
    expect(pictures.last("hints").question).toEqual({ mine: 1, ordinary: 2, mm: 24, known: [] });
    await pictures.last("hints").answer(found);
    const now = hints.comparing.value;
    if (now.is !== "compared") throw new Error(now.is);
    expect(now.hints.map((h) => [h.kind, h.shift, h.degrees])).toEqual([
      ["second-image", 0.12, 0],
      ["other-side", 0, 3],
    ]);
    expect(now.bars["other-side"]).toEqual(bar);
    hints.tap({ x: 41, y: 50 });
    expect(hints.chosen.value).toBe(1);
    hints.tap({ x: 90, y: 6 });
    expect(hints.chosen.value).toBe(2);
    hints.tap({ x: 400, y: 400 });
    expect(hints.chosen.value).toBe(0);
  });

  it("ask with the other side where there is one, and each coin's shape is made once", async () => {
    const { pictures, hints, shape } = await table();
    const [ordinary, other] = [lit("ordinary"), lit("other")];
    const known = [{ differs: 0.1 }];
    void hints.compare(ordinary, other, 24, known);
    await shape();
    await shape();
    expect(pictures.last("hints").question).toEqual({ mine: 1, ordinary: 2, other: 3, mm: 24, known });
    await pictures.last("hints").answer(found);
    const made = pictures.times("relief-of");
    void hints.compare(ordinary, null, 24, known);
    await pictures.last("hints").answer(found);
    expect(pictures.times("relief-of")).toBe(made);
    void hints.compare(lit("another ordinary"), null, 24, known);
    await shape();
    expect(pictures.times("relief-of")).toBe(made + 1);
  });

  it("say why there are none, and whose photos give no shape", async () => {
    const { pictures, hints, shape } = await table();
    void hints.compare(lit("ordinary"), null, 24, []);
    await pictures.last("rim").answer({ rim: ellipse });
    await pictures.last("relief-of").fail(new NoAnswer("failed", "relief made nothing", "slipped"));
    expect(hints.comparing.value).toEqual({ is: "no-shape", whose: "ordinary", why: "slipped" });
    void hints.compare(lit("ordinary"), null, 24, []);
    await shape();
    await pictures.last("hints").answer({ why: "no-fit" });
    expect(hints.comparing.value).toEqual({ is: "refused", why: "no-fit" });
    const looking = hints.compare(lit("ordinary"), null, 24, []);
    await Promise.resolve();
    hints.stop();
    await looking;
    expect(hints.comparing.value).toEqual({ is: "refused", why: "stopped" });
  });

  it("stopped while the ordinary coin's shape is made say so", async () => {
    const { hints } = await table();
    const looking = hints.compare(lit("ordinary"), null, 24, []);
    await Promise.resolve();
    hints.stop();
    await looking;
    expect(hints.comparing.value).toEqual({ is: "refused", why: "stopped" });
  });

  it("go with the relief that they lie on", async () => {
    const { pictures, light, hints, shape } = await table();
    void hints.compare(lit("ordinary"), null, 24, []);
    await shape();
    await pictures.last("hints").answer(found);
    light.put(1, null);
    expect(hints.comparing.value).toEqual({ is: "idle" });
  });

  it("are ticked off, and that is taken back", async () => {
    const { hints } = await table();
    hints.tick(2);
    hints.tick(1);
    hints.tick(2);
    expect([...hints.work.now.value]).toEqual([1]);
    hints.work.undo();
    expect([...hints.work.now.value].sort()).toEqual([1, 2]);
  });

  it("show the ordinary coin under the same light", async () => {
    const { pictures, light, hints, shape } = await table();
    await hints.swap("ordinary");
    expect(hints.shown.value).toBe("mine");
    void hints.compare(lit("ordinary"), null, 24, []);
    await shape();
    await pictures.last("hints").answer(found);
    await light.relight({ side: 20, up: 15 });
    await hints.swap("ordinary");
    expect(hints.shown.value).toBe("ordinary");
    expect(hints.shapeShown("ordinary")?.light.value).toEqual({ side: 20, up: 15 });
    expect(hints.instead?.map).toEqual(found.map);
    await hints.swap("ordinary");
    expect(hints.instead).toBeNull();
  });

  it("show the other side as it lies: mirrored, turned, and under the same light", async () => {
    const { pictures, light, hints, shape } = await table();
    void hints.compare(null, lit("other"), 24, []);
    await shape();
    await pictures.last("hints").answer(found);
    await light.relight({ side: 20, up: 15 });
    await hints.swap("other", 90);
    expect(hints.shapeShown("other")?.light.value).toEqual({ side: 250, up: 15 });
    expect(hints.instead?.map).toEqual(mirroredOnto(disc, disc, 90));
    // What is at the right comes to the left, and from there to the bottom.
    const at = mapped(mirroredOnto({ x: 10, y: 20, r: 50 }, { x: 300, y: 200, r: 100 }, 90), {
      x: 60,
      y: 20,
    });
    expect(at.x).toBeCloseTo(300);
    expect(at.y).toBeCloseTo(300);
  });
});

describe("the photos lit from all sides", () => {
  const photo = (lamp: number, taken: number, side = "obverse") => ({
    sha256: `${side} ${lamp} ${taken}`,
    type: "image/jpeg",
    bytes: 1,
    side,
    taken,
    ...(lamp && { lamp }),
  });
  const set = (taken: number, side?: string) => [90, 360, 180, 270].map((lamp) => photo(lamp, taken, side));

  it("are the newest that are whole, in the order of the sides", () => {
    expect(litPhotos([photo(0, 1), ...set(5), ...set(9).slice(1)], "obverse")?.map((p) => p.sha256)).toEqual([
      "obverse 360 5",
      "obverse 90 5",
      "obverse 180 5",
      "obverse 270 5",
    ]);
    expect(litPhotos([...set(5), ...set(9)], "obverse")?.[0]?.taken).toBe(9);
    expect(litPhotos(set(5), "reverse")).toBeNull();
  });
});

describe("the hunter's own ordinary coins", () => {
  it("are remembered each once, and never held against themselves", () => {
    const kept = signal<readonly OrdinaryCoin[]>([]);
    const coins = new OrdinaryCoins(kept);
    coins.add("a/obverse", { differs: 0.1 });
    coins.add("b/obverse", { differs: 0.2 });
    coins.add("a/obverse", { differs: 0.3 });
    const again = new OrdinaryCoins(signal(readOrdinary(JSON.parse(JSON.stringify(kept.value)))));
    expect(again.count).toBe(2);
    expect(again.scoresBut("b/obverse")).toEqual([{ differs: 0.3 }]);
    again.drop("a/obverse");
    expect(again.has("a/obverse")).toBe(false);
  });

  it("are read from what is kept, whatever it is", () => {
    expect(readOrdinary([1, { id: "x" }, { id: "y", scores: { differs: 1, tea: 2 } }])).toEqual([
      { id: "y", scores: { differs: 1 } },
    ]);
    expect(readOrdinary("tea")).toEqual([]);
  });
});
