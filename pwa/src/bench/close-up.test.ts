import { signal } from "@preact/signals";
import { describe, expect, it } from "vitest";
import { Bench } from "./bench";
import { CloseUp } from "./close-up";
import { keptRim, rimOf } from "./keep";
import { type Lens, Lenses, lensBy, RulerPhoto, readLenses, scaleOf } from "./lens";
import { Over } from "./over";
import { FakePictures, pictureFake } from "./pictures-fake";
import type { Rim } from "./work";

const wholeRim = { x: 500, y: 400, a: 300, b: 300, turn: 0 };
const lies = { x: -200, y: 100, a: 1500, b: 1500, turn: 0 };
const corners = [
  [400, 300],
  [600, 300],
  [600, 460],
  [400, 460],
];
const found = { rim: lies, u: 0.012, degrees: 12, agree: 0.8, outline: corners };
const whole =
  (name: string, rim: typeof wholeRim | null = wholeRim) =>
  () =>
    Promise.resolve({ picture: pictureFake(name), rim });
const later = () => new Promise<void>((done) => setTimeout(done, 0));

function table() {
  const pictures = new FakePictures();
  const bench = new Bench(pictureFake("part"), pictures);
  bench.diameter.value = 24;
  return { pictures, bench, closeUp: new CloseUp(bench, pictures) };
}

describe("a close-up", () => {
  it("gets its millimeters from its place on the whole coin, and that is taken back", async () => {
    const { pictures, bench, closeUp } = table();
    void closeUp.find([whole("whole")]);
    await later();
    expect(pictures.last("close-up").question).toEqual({ picture: 1, whole: 2, wholeRim });
    await pictures.last("close-up").answer(found);
    expect(closeUp.finding.value).toMatchObject({ is: "found", degrees: 12, u: 0.012 });
    expect(bench.work.now.value.rim).toMatchObject({ ...lies, by: "close-up", u: 0.012 });
    expect(bench.across).toBe(24);
    bench.addMark({
      id: "m",
      is: "line",
      points: [
        { x: 1, y: 1 },
        { x: 9, y: 9 },
      ],
      hand: 1,
      of: "",
    });
    expect(pictures.last("measure").question).toMatchObject({ mm: 24, rim: { a: 1500, u: 0.012 } });
    bench.work.undo();
    bench.work.undo();
    expect(bench.work.now.value.rim).toBeNull();
  });

  it("is looked for on one whole picture after another, the rim sought where it isn't known", async () => {
    const { pictures, closeUp } = table();
    void closeUp.find([whole("a"), async () => null, whole("b", null)]);
    await later();
    await pictures.last("close-up").answer({ why: "no-fit" });
    await later();
    await pictures.last("rim").answer({ rim: wholeRim, u: 0.003 });
    expect(pictures.last("close-up").question).toMatchObject({ wholeRim: { ...wholeRim, u: 0.003 } });
    await pictures.last("close-up").answer(found);
    expect(closeUp.finding.value.is).toBe("found");
    expect(pictures.times("close-up")).toBe(2);
    expect(pictures.forgotten.length).toBe(1);
  });

  it("that isn't found says why, and has no millimeters", async () => {
    const { pictures, bench, closeUp } = table();
    await closeUp.find([]);
    expect(closeUp.finding.value).toEqual({ is: "refused", why: "none-there" });
    void closeUp.find([whole("a", null)]);
    await later();
    await pictures.last("rim").answer({ why: "none" });
    expect(closeUp.finding.value).toEqual({ is: "refused", why: "no-rim" });
    void closeUp.find([whole("a")]);
    await later();
    await pictures.last("close-up").answer({ why: "ambiguous" });
    expect(closeUp.finding.value).toEqual({ is: "refused", why: "ambiguous" });
    const finding = closeUp.find([whole("a")]);
    await later();
    closeUp.stop();
    await finding;
    expect(closeUp.finding.value).toEqual({ is: "refused", why: "stopped" });
    expect(bench.work.now.value.rim).toBeNull();
  });

  it("is kept with its scale and how sure it is", () => {
    const rim: Rim = { ...lies, by: "close-up", covered: 1, u: 0.012 };
    expect(keptRim(rim, 24)).toEqual({ ...lies, by: "close-up", mm: 24, u: 0.012 });
    expect(rimOf(keptRim(rim, 24))).toEqual(rim);
    // A seen edge's is what it always was.
    expect(keptRim({ ...rim, by: "found" }, 24).u).toBeUndefined();
  });

  it("isn't laid over another picture by an edge that it doesn't show", async () => {
    const { pictures, bench } = table();
    bench.scaleBy({ ...lies, by: "close-up", covered: 1, u: 0.012 });
    const over = new Over(bench, pictures);
    await over.take(pictureFake("b"), wholeRim);
    expect(over.laying.value).toEqual({ is: "refused", why: "no-rim" });
  });
});

describe("a ruler photographed once", () => {
  const size = { width: 2000, height: 1500 };
  const ends = [
    { x: 200, y: 700 },
    { x: 1200, y: 700 },
  ] as const;

  it("gives every picture of that lens its scale, made smaller or turned, and none of another shape", () => {
    const lens = lensBy(" Microscope, 60× ", size, ends, 2, 1);
    if (!lens) throw new Error("no lens");
    expect(lens).toMatchObject({ name: "Microscope, 60×", mm: 4 });
    expect(lens.u).toBeCloseTo(Math.hypot(Math.SQRT2 / 1000, 0.01), 6);
    for (const s of [size, { width: 1000, height: 750 }, { width: 750, height: 1000 }]) {
      const rim = scaleOf(lens, s);
      expect(rim && (2 * rim.a) / (rim.mm ?? 0)).toBeCloseTo(Math.max(s.width, s.height) / 4, 6);
    }
    expect(scaleOf(lens, { width: 2000, height: 1400 })).toBeNull();
  });

  it("says nothing without a name, a length or two places", () => {
    expect(lensBy(" ", size, ends, 2, 1)).toBeNull();
    expect(lensBy("a", size, ends, 0, 1)).toBeNull();
    expect(lensBy("a", size, ends, Number.NaN, 1)).toBeNull();
    expect(lensBy("a", size, [ends[0], ends[0]], 2, 1)).toBeNull();
  });

  it("is remembered by the lens's name, forgotten, and put back", () => {
    const kept = signal<readonly Lens[]>([]);
    const lenses = new Lenses(kept);
    const [a, b] = [lensBy("a", size, ends, 2, 1), lensBy("a", size, ends, 3, 1)];
    if (!a || !b) throw new Error("no lens");
    lenses.keep(a);
    lenses.keep(b);
    expect(readLenses(JSON.parse(JSON.stringify(kept.value)))).toEqual([b]);
    lenses.forget(b);
    expect(kept.value).toEqual([]);
    lenses.putBack();
    expect(kept.value).toEqual([b]);
    expect(lenses.forgotten.value).toBeNull();
    expect(readLenses([{ name: "x" }, 3])).toEqual([]);
  });

  it("scales a picture whose rulers then measure, though no coin is known", () => {
    const { pictures, bench } = table();
    bench.diameter.value = null;
    const lens = lensBy(
      "a",
      bench.picture,
      [
        { x: 0, y: 0 },
        { x: 500, y: 0 },
      ],
      2,
      1,
    );
    const scale = lens && scaleOf(lens, bench.picture);
    if (!scale) throw new Error("no scale");
    bench.scaleBy(scale);
    bench.addMark({ id: "m", is: "area", points: [], hand: 1, of: "" });
    expect(pictures.last("measure").question).toMatchObject({ mm: 20, rim: { a: 2500 } });
    expect(rimOf(keptRim(scale, null))).toEqual({ ...scale, u: 0.0104 });
  });

  it("has two points that are moved, and that is taken back", () => {
    const ruler = new RulerPhoto(pictureFake("ruler"));
    ruler.move(1, { x: 900, y: 400 });
    expect(ruler.lens("a", 13)?.mm).toBeCloseTo(20, 6);
    ruler.work.undo();
    expect(ruler.lens("a", 13)?.mm).toBeCloseTo(26, 6);
  });
});
