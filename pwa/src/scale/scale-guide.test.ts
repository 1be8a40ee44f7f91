import { describe, expect, it } from "vitest";
import { readKept, type Shelf } from "../device/kept";
import type { Grams, Phase } from "../live/wire";
import type { Reading } from "../weigh/reading";
import { ScaleGuide } from "./scale-guide";
import { checkQuestion, freshDraft, type KitWeight, readDraft, weightQuestion } from "./scale-record";
import { RestWatch, readAnywayMs, restsForMs } from "./scale-rest";

const fifty: KitWeight = { nominal: "50", class: "F2", value: "", expanded: "" };
const twenty: KitWeight = { nominal: "20", class: "M1", value: "20,0012", expanded: "0,0004" };

const shows = (shown: string, phase: Phase = "settled", unit = "g", name = "a"): Reading => ({
  is: "weight",
  phase,
  shown,
  unit,
  load: null,
  resolution: 0.01 as Grams,
  seconds: 0,
  stale: false,
  scale: { name, kind: "serial", dialect: "print-line", assumed: true },
});

class MemoryShelf implements Shelf {
  kept = new Map<string, string>();
  getItem = (k: string) => this.kept.get(k) ?? null;
  setItem = (k: string, v: string) => void this.kept.set(k, v);
  removeItem = (k: string) => void this.kept.delete(k);
}

const good = { ok: { reach: [{ load_g: 1, u_g: 0.01, before_u_g: 0.02, correction_g: 0 }] } };

/** A table with a scale: the clock goes in steps of the live stream, the core refuses 49.xx. */
function table(shelf = new MemoryShelf()) {
  const asked: ReturnType<typeof checkQuestion>[] = [];
  const core = {
    call: async (_: string, q: unknown) => {
      const question = q as ReturnType<typeof checkQuestion>;
      asked.push(question);
      const bad = question.readings.findIndex((r) => r.shown.startsWith("49."));
      if (bad < 0) return good;
      return {
        error: {
          code: "bad-input",
          sentence: "A finger on it? Nothing was computed.",
          field: `readings.${bad}.shown`,
        },
      };
    },
  };
  const guide = new ScaleGuide(core, shelf);
  let now = 0;
  /** The scale shows this for so long. */
  const show = async (r: Reading, ms = restsForMs + 200) => {
    for (let t = 0; t < ms; t += 100) {
      guide.live(r, now);
      now += 100;
      await Promise.resolve();
      await Promise.resolve();
      await Promise.resolve();
    }
  };
  const weigh = async (shown: string, zero = "0.00") => {
    await show(shows(zero, "empty"));
    await show(shows("12.34", "moving"), 300);
    await show(shows(shown));
  };
  return { guide, show, weigh, asked, shelf };
}

describe("a display at rest", () => {
  it("is one that has been the same for a second and a half", () => {
    const watch = new RestWatch();
    expect(watch.offer(shows("3.11"), 0)).toBeNull();
    expect(watch.offer(shows("3.12"), 1000)).toBeNull();
    expect(watch.offer(shows("3.12"), 1000 + restsForMs - 1)).toBeNull();
    expect(watch.offer(shows("3.12"), 1000 + restsForMs)).toMatchObject({ phase: "settled", shown: "3.12" });
    expect(watch.offer(shows("3.12", "moving"), 3000)).toBeNull();
    expect(watch.offer({ ...shows("3.12"), stale: true } as Reading, 9000)).toBeNull();
    expect(watch.offer(shows("3.12"), 9001)).toBeNull();
    expect(watch.offer({ is: "nothing" }, 20_000)).toBeNull();
  });

  it("is read even so when two values take turns for long", () => {
    const watch = new RestWatch();
    let at = 0;
    for (let i = 0; at < readAnywayMs; at += 500) expect(watch.offer(shows(`3.1${i++ % 2}`), at)).toBeNull();
    expect(watch.offer(shows("3.11"), at)).not.toBeNull();
  });
});

describe("the question to the core", () => {
  it("takes half of a certificate's U, and decimal commas", () => {
    expect(weightQuestion(twenty)).toEqual({
      weights: [{ nominal_g: "20", class: "M1", value_g: "20.0012", expanded_g: "0.0004" }],
      readings: [{ shown: "0" }],
    });
    expect(weightQuestion({ nominal: "", class: "", value: "", expanded: "" }).weights).toEqual([{}]);
  });

  it("leaves out weights that weren't weighed yet", () => {
    const d = {
      ...freshDraft(),
      weights: [fifty, twenty],
      readings: [{ weight: 1, shown: "20.01", zero: "0.00" }],
    };
    expect(checkQuestion(d)).toMatchObject({
      weights: [{ nominal_g: "20" }],
      readings: [{ weight: 0, shown: "20.01" }],
    });
    expect(checkQuestion(d)).not.toHaveProperty("off_centre");
  });
});

describe("a check by the live weight", () => {
  it("asks for each weight, takes what rests, and comes to its end", async () => {
    const { guide, weigh, asked } = table();
    expect(await guide.begin([fifty, twenty], 3)).toBeNull();
    for (const shown of ["50.15", "50.16", "50.15", "20.06", "20.06", "20.07"]) {
      expect(guide.next.value?.weight).toBe(shown.startsWith("5") ? 0 : 1);
      await weigh(shown, shown === "20.06" ? "0.01" : "0.00");
    }
    expect(guide.draft.value.at).toBe("further");
    expect(guide.draft.value).toMatchObject({ unit: "g", resolution: "0.01", scale: { name: "a" } });
    expect(guide.draft.value.readings.map((r) => `${r.weight} ${r.shown} ${r.zero}`)).toEqual([
      "0 50.15 0.00",
      "0 50.16 0.00",
      "0 50.15 0.00",
      "1 20.06 0.01",
      "1 20.06 0.01",
      "1 20.07 0.00",
    ]);
    expect(asked.at(-1)?.weights).toHaveLength(2);
    expect(guide.result.value?.reach).toHaveLength(1);
    guide.go("edges");
    for (let i = 0; i < 4; i++) {
      expect(guide.next.value).toEqual({ weight: 0, nth: i + 1, edge: i });
      await weigh("50.15");
    }
    expect(guide.draft.value.at).toBe("further");
    expect(asked.at(-1)?.off_centre).toHaveLength(4);
    expect(await guide.finish("21", "kitchen")).toBe(true);
    expect(asked.at(-1)).toMatchObject({ temperature_c: "21", place: "kitchen" });
  });

  it("takes nothing before the pan was empty, nor the same weight twice", async () => {
    const { guide, show, weigh } = table();
    await guide.begin([fifty], 3);
    await show(shows("50.15"));
    expect(guide.draft.value.readings).toEqual([]);
    await weigh("50.15");
    await show(shows("50.16"), 5000);
    expect(guide.draft.value.readings).toHaveLength(1);
    expect(guide.asked.value).toBe("lift");
    await show(shows("0.00", "empty"));
    expect(guide.asked.value).toBe("put");
  });

  it("refuses at once what can't be, and asks for the same again", async () => {
    const { guide, weigh } = table();
    await guide.begin([fifty], 3);
    await weigh("49.10");
    expect(guide.said.value).toEqual({ is: "refused", sentence: "A finger on it?" });
    expect(guide.draft.value.readings).toEqual([]);
    expect(guide.next.value?.nth).toBe(1);
    await weigh("50.15");
    expect(guide.said.value).toEqual({ is: "taken", shown: "50.15", unit: "g" });
  });

  it("notices another unit and another scale", async () => {
    const { guide, show, weigh } = table();
    await guide.begin([fifty], 3);
    await weigh("50.15");
    await show(shows("0.0", "empty", "ct"));
    await show(shows("250.7", "settled", "ct"));
    expect(guide.said.value).toEqual({ is: "unit" });
    await show(shows("0.00", "empty"));
    await show(shows("50.15", "settled", "g", "b"));
    expect(guide.said.value).toEqual({ is: "scale" });
    expect(guide.draft.value.readings).toHaveLength(1);
  });

  it("takes the last reading back", async () => {
    const { guide, weigh } = table();
    await guide.begin([fifty], 3);
    await weigh("50.15");
    await weigh("50.16");
    await guide.undo();
    expect(guide.draft.value.readings.map((r) => r.shown)).toEqual(["50.15"]);
    await guide.undo();
    expect(guide.draft.value).toMatchObject({ at: "middle", readings: [], unit: "", weights: [fifty] });
  });

  it("goes on after a reload, and watches an untouched pan anew", async () => {
    const { guide, weigh, shelf } = table();
    await guide.begin([fifty], 3);
    await weigh("50.15");
    const again = table(shelf);
    await again.show({ is: "nothing" });
    expect(again.guide.draft.value.readings).toHaveLength(1);
    expect(again.guide.result.value).not.toBeNull();
    expect(
      readDraft({ ...guide.draft.value, at: "alone", untouched: [{ after_s: 0, shown: "0" }] }),
    ).toMatchObject({
      at: "further",
      untouched: [],
    });
    for (const damaged of [null, 5, [], { at: "middle" }, { weights: "x" }])
      expect(readDraft(damaged).at).toBe("kit");
    expect(readKept(shelf, "panside.scale-check")).toMatchObject({ at: "middle" });
  });

  it("says before anybody weighs that a weight can't be", async () => {
    const guide = new ScaleGuide(
      {
        call: async () => ({
          error: { code: "bad-input", sentence: "No such weight.", field: "weights.0.nominal_g" },
        }),
      },
      new MemoryShelf(),
    );
    expect(await guide.begin([fifty], 3)).toEqual({
      field: "weights.0.nominal_g",
      sentence: "No such weight.",
    });
    expect(guide.draft.value.at).toBe("kit");
  });
});

describe("an untouched pan", () => {
  it("is read every ten seconds for three minutes", async () => {
    const { guide, show, weigh } = table();
    await guide.begin([fifty], 3);
    for (let i = 0; i < 3; i++) await weigh("50.15");
    guide.go("alone");
    await show(shows("50.15"), 100_000);
    expect(guide.aloneEnough).toBe(false);
    await show(shows("50.16"), 90_000);
    expect(guide.draft.value.at).toBe("further");
    expect(guide.draft.value.untouched.length).toBe(19);
    expect(guide.draft.value.untouched.at(-1)).toMatchObject({ shown: "50.16" });
    expect(checkQuestion(guide.draft.value)).toHaveProperty("untouched");
  });

  it("counts for nothing when it was too short", async () => {
    const { guide, show, weigh } = table();
    await guide.begin([fifty], 3);
    for (let i = 0; i < 3; i++) await weigh("50.15");
    guide.go("alone");
    await show(shows("50.15"), 30_000);
    guide.endAlone();
    expect(guide.draft.value).toMatchObject({ at: "further", untouched: [] });
  });
});

describe("numbers typed by hand", () => {
  it("are taken without a live weight", async () => {
    const { guide } = table();
    guide.byHand.value = true;
    await guide.begin([fifty], 3);
    await guide.typed("49.15", "");
    expect(guide.said.value).toMatchObject({ is: "refused" });
    for (const shown of ["50.15", "50.16", "50.15"]) await guide.typed(shown, "");
    expect(guide.draft.value).toMatchObject({ at: "further", scale: null, unit: "" });
    expect(guide.draft.value.readings[0]).toEqual({ weight: 0, shown: "50.15", zero: "0" });
    // The live weight is left alone meanwhile.
    guide.go("edges");
    guide.live(shows("50.15"), 1e6);
    guide.live(shows("50.15"), 2e6);
    expect(guide.draft.value.offCentre).toEqual([]);
  });
});
