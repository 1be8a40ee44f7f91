import { describe, expect, it } from "vitest";
import { readKeptCheck, readScaleCheck } from "../core/scale-check";
import { Refusal } from "../laptop/api";
import {
  automatic,
  legible,
  PatternTrial,
  patternFrom,
  readScaleView,
  readTrial,
  ScaleHand,
} from "./scale-hand";
import { ScaleTruth } from "./scale-truth";

describe("a raw line", () => {
  it("is shown with what can't be shown as its number", () => {
    expect(legible("ST,GS,+   3.11  g")).toBe("ST,GS,+   3.11  g");
    expect(legible("\u00023.11\u0003\u00ff<b>")).toBe("\\x023.11\\x03\\xff<b>");
  });

  it.each([
    ["ST,GS,+   3.11  g", "ST,GS,<sign><value>  <unit>"],
    ["    3.11", "<value><unit=g>"],
    ["W1: 3.11 g ok", "W1:<value> <unit> ok"],
    ["<3 g>", "<<<value> <unit>>"],
    ["\u0002 12 ct", "<skip:1><value> <unit>"],
    ["no number", ""],
  ])("%j gives a pattern to begin with", (raw, pattern) => expect(patternFrom(raw)).toBe(pattern));
});

describe("the laptop's answers", () => {
  it("are read part by part", () => {
    const v = readScaleView({
      settings: { port: "virtual", baud: 9600 },
      now: { format: "print-line", sure: 0.9, problem: { sentence: "No." } },
      ports: [
        { port: "/dev/a", found: "speaks", line: "2400 8N1", heard: [{ raw: "x", times: 2 }] },
        { found: "odd" },
      ],
      formats: [{ format: "print-line", lines: ["9600 8N1"], keep_awake: true }],
    });
    expect(v.settings).toEqual({ ...automatic("virtual"), baud: 9600 });
    expect(v.now).toMatchObject({ format: "print-line", sure: 0.9, problem: "No.", name: "" });
    expect(v.ports.map((p) => p.found)).toEqual(["speaks", null]);
    expect(v.ports[0]?.heard).toEqual([{ raw: "x", times: 2 }]);
    expect(v.formats[0]?.keepAwake).toBe(true);
    expect(v.lines).toEqual([]);
    expect(readScaleView(null).ports).toEqual([]);
    expect(readTrial({ at: 3, sentence: "Wrong." })).toEqual({ at: 3, sentence: "Wrong.", lines: [] });
  });

  it("about a check aren't shown without their essentials", () => {
    expect(readScaleCheck({ findings: ["x"] })).toBeNull();
    const result = {
      reach: [{ load_g: 1, u_g: 0.01, before_u_g: 0.02, correction_g: -0.1 }],
      age: { days: 40, old: true },
    };
    expect(
      readKeptCheck({ scale: { name: "a", dialect: "b" }, check: { id: 1, taken: "t", result } }).check,
    ).toMatchObject({
      taken: "t",
      result: { assumed: true, age: { days: 40, old: true, reasons: [] } },
    });
    expect(readKeptCheck({ scale: null, check: null })).toEqual({ scale: null, check: null });
  });
});

const answers = (body: unknown) => async () => new Response(JSON.stringify(body));

describe("setting the scale by hand", () => {
  it("gives the field that can't be, and shows what counts", async () => {
    const hand = new ScaleHand({
      core: async () => "",
      exchange: async (method, _, body) => {
        if (method === "PUT" && String(body).includes("nonsense"))
          throw new Refusal("bad-input", "No.", "format");
        return answers({ settings: { port: method === "PUT" ? "virtual" : "" } })();
      },
    });
    await hand.look();
    expect(hand.view.value?.settings.port).toBe("");
    expect(await hand.set({ ...automatic(""), format: "nonsense" })).toEqual({
      field: "format",
      sentence: "No.",
    });
    expect(await hand.set(automatic("virtual"))).toBeNull();
    expect(hand.view.value?.settings.port).toBe("virtual");
  });

  it("tells why it can't be looked at", async () => {
    const hand = new ScaleHand({
      core: async () => "",
      exchange: async () => {
        throw new Refusal("no-scale", "None.");
      },
    });
    await hand.look();
    expect(hand.trouble.value).toBe("None.");
  });
});

describe("trying a pattern", () => {
  it("shows the newest question's answer only", async () => {
    const open: ((json: string) => void)[] = [];
    const trial = new PatternTrial({ core: () => new Promise((done) => open.push(done)) });
    const first = trial.ask("<", [{ raw: "a", times: 1 }]);
    const second = trial.ask("<value>", []);
    open[1]?.(JSON.stringify({ ok: { at: 8, sentence: "No unit." } }));
    open[0]?.(JSON.stringify({ ok: { at: 1, sentence: "Old." } }));
    await Promise.all([first, second]);
    expect(trial.trial.value?.sentence).toBe("No unit.");
    await trial.ask("", []);
    expect(trial.trial.value).toBeNull();
  });
});

describe("the newest check", () => {
  it("is asked for, kept, and stays when the laptop is away", async () => {
    let away = false;
    const truth = new ScaleTruth({
      exchange: async (method) => {
        if (away) throw new Refusal("unreachable", "");
        return answers({ scale: { name: method === "GET" ? "a" : "b", dialect: "" }, check: null })();
      },
    });
    await truth.look();
    expect(truth.kept.value?.scale?.name).toBe("a");
    away = true;
    await truth.look();
    expect(truth.kept.value?.scale?.name).toBe("a");
    await expect(truth.keep({}, null)).rejects.toBeInstanceOf(Refusal);
    away = false;
    await truth.keep({}, { name: "b", dialect: "" });
    expect(truth.kept.value?.scale?.name).toBe("b");
  });
});
