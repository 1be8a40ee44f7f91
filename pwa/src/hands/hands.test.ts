import { beforeEach, describe, expect, it } from "vitest";
import { Awake } from "../device/awake";
import { memoryStorage } from "../device/local-storage";
import { Speaker, type UtteranceLike } from "../device/speech";
import { type Tone, Tones } from "../device/tones";
import { HandClock, weightMessage } from "../live/fixture";
import type { Phase, Placement } from "../live/wire";
import { text } from "../text";
import { locale } from "../text/writing";
import type { Shown } from "../weigh/live-verdict";
import { PanControl } from "../weigh/pan-control";
import { forEar } from "./for-ear";
import { type HandsEvent, HandsFree } from "./hands";
import { kindOf } from "./hands-kind";
import { type AsideCoin, HandsList } from "./hands-list";

type V = Shown["verdict"];
const verdict = (tally: Partial<V["tally"]>, v: Partial<V>): V => ({
  call: "ordinary",
  claim: [v.call ?? "ordinary", v.alloys?.[0]?.name].join("/"),
  headline: "Bronze cent, 95 % copper.",
  headline_first: v.headline ?? "Bronze cent, 95 % copper.",
  headline_rest: "",
  spoken: "Bronze cent.",
  decisive: true,
  alloys: [],
  metal: null,
  tolerance: null,
  explanations: [],
  next_test: null,
  other_tests: [],
  hint: "",
  tally: { name: "", aside: false, noted: false, current: false, again: false, keeper: false, ...tally },
  wanted: [],
  could_keep: [],
  question: null,
  answered: [],
  inspect: null,
  ...v,
});
const alloy = (name: string, years: string, probability = 0.999) => ({
  name,
  years,
  probability,
  fractions: {},
});

const coins = {
  bronze: verdict(
    { name: "Bronze" },
    { alloys: [alloy("bronze, 95 % copper", "1864–1942, 1944–1982, 2009")] },
  ),
  zinc: verdict(
    { name: "Copper-plated zinc", current: true },
    {
      headline: "Copper-plated zinc cent.",
      spoken: "Copper-plated zinc cent.",
      alloys: [alloy("copper-plated zinc", "1982–")],
    },
  ),
  silver: verdict(
    { name: "90 % silver", keeper: true },
    {
      call: "keeper",
      headline: "90 % silver dime. Keep it.",
      spoken: "90 % silver dime. Keep it.",
      metal: { id: "silver-900", name: "90 % silver" },
      alloys: [{ ...alloy("90 % silver", "1873–1964"), fractions: { Ag: 0.9, Cu: 0.1 } }],
      wanted: [
        { id: "silver", name: "silver" },
        { id: "mercury", name: "Mercury dimes" },
      ],
    },
  ),
  steel: verdict(
    { name: "Zinc-coated steel", aside: true },
    {
      headline: "Zinc-coated steel cent.",
      spoken: "Zinc-coated steel cent.",
      alloys: [alloy("zinc-coated steel", "1943")],
    },
  ),
  nickel: verdict(
    { name: "Copper-nickel", noted: true, current: true },
    {
      call: "either",
      decisive: false,
      headline:
        "Copper-nickel five-cent piece, unless of 1942–1945 (35 % silver: large mint mark above the dome, duller grey).",
      spoken:
        "Copper-nickel five-cent piece, unless of 1942–1945 (35 % silver: large mint mark above the dome, duller grey).",
      alloys: [alloy("copper-nickel, 25 % nickel", "1946–", 0.98)],
    },
  ),
  half: verdict(
    { name: "Half dollar, clad or 40 % silver", aside: true },
    {
      call: "either",
      decisive: false,
      headline: "Half dollar, clad or 40 % silver: weight can’t tell. Read the date.",
      spoken: "Half dollar, clad or 40 % silver. Read the date.",
      alloys: [alloy("copper-nickel clad copper", "1971–", 0.6)],
    },
  ),
  odd: verdict(
    { aside: true },
    {
      call: "look",
      decisive: false,
      headline: "2.27 g is light for a cent, but right for a dime’s planchet.",
      spoken: "Look: 2.27 g is light for a cent, but right for a dime’s planchet.",
    },
  ),
  two: verdict(
    { again: true },
    {
      call: "look",
      decisive: false,
      headline:
        "Two coins at once? 5.56 g is right for two of them, and for a clad quarter. Weigh each alone.",
      spoken: "Two coins at once? Weigh each alone.",
    },
  ),
  unclear: verdict(
    {},
    {
      call: "cannot-tell",
      decisive: false,
      headline: "This scale can’t tell.",
      spoken: "Can’t tell.",
    },
  ),
};
type Coin = keyof typeof coins;

/** A table with a sitting, a voice and an ear. */
class Table {
  clock = new HandClock();
  kept = new Map<string, string>();
  said: string[] = [];
  toned: Tone[] = [];
  shaken = 0;
  events: HandsEvent[] = [];
  placement = 0;
  panControl = new PanControl({ me: () => "me", say: () => true });
  handsFree: HandsFree;
  private ids = 0;

  constructor() {
    const tones = new Tones(() => ({ state: "running" }) as never);
    tones.play = (t) => void this.toned.push(t);
    this.handsFree = new HandsFree({
      storage: memoryStorage(this.kept),
      clock: this.clock,
      panControl: this.panControl,
      takePan: () => this.panControl.tap(null),
      speaker: new Speaker({
        synth: {
          getVoices: () => [],
          speak: (u) => {
            this.said.push(u.text);
            u.onstart?.({});
            u.onend?.({});
          },
          cancel: () => {},
        },
        utterance: (words) => ({ text: words }) as UtteranceLike,
        now: () => this.clock.moment.steady,
        language: locale,
        forEar,
      }),
      tones,
      awake: new Awake(null),
      shake: () => void this.shaken++,
      newId: () => `id-${++this.ids}`,
    });
    this.handsFree.listen((e) => this.events.push(e));
  }

  begin() {
    this.handsFree.start("cent", this.message("empty"));
    this.said = [];
  }

  message(phase: Phase, change = {}) {
    const at = { placement: this.placement, phase, age_ms: 0 };
    return weightMessage(
      phase === "empty" ? { ...at, mean_g: null, u_g: null, ...change } : { ...at, ...change },
    );
  }

  shown(v: V, settled = true): Shown {
    const question = {
      country: "US",
      denomination: "cent",
      year: 0,
      mint: "",
      mean_g: 3.11,
      u_g: 0.008,
      resolution_g: 0.01,
    };
    return {
      verdict: v,
      placement: this.placement as Placement,
      settled,
      asked: "US/cent/0/",
      question,
    };
  }

  see(phase: Phase, shown: Shown | null) {
    this.clock.pass(200);
    this.handsFree.take(this.message(phase), 0, shown);
  }

  /** Puts a coin on and lifts it. */
  weigh(coin: Coin) {
    this.see("moving", null);
    this.placement++;
    this.see("moving", null);
    this.see("settled", this.shown(coins[coin]));
    this.see("empty", null);
  }

  counts = () => this.handsFree.list.counts.value.rows.map((r) => `${r.label} ${r.count}`);
  happened = () => this.events.map((e) => e.is);
}

let t: Table;
beforeEach(() => {
  t = new Table();
  t.begin();
});

describe("a sitting", () => {
  it("says, tones, counts each coin, and needs no touch", () => {
    for (const coin of ["bronze", "zinc", "bronze"] as const) t.weigh(coin);
    expect(t.said).toEqual(["Bronze cent.", "Copper-plated zinc cent.", "Bronze cent."]);
    expect(t.toned).toEqual(["older", "newer", "older"]);
    expect(t.shaken).toBe(3);
    expect(t.counts()).toEqual(["Bronze 2", "Copper-plated zinc 1"]);
    expect(t.handsFree.list.total.value).toBe(3);
    expect(t.handsFree.caption.value).toMatchObject({ words: "Bronze cent.", call: "ordinary" });
  });

  it("says a decisive verdict before the coin rests, and not again at rest", () => {
    t.placement++;
    t.see("moving", t.shown(coins.bronze, false));
    expect(t.said).toEqual(["Bronze cent."]);
    expect(t.counts()).toEqual([]);
    t.see("settled", t.shown(coins.bronze));
    expect(t.said).toHaveLength(1);
    expect(t.counts()).toEqual(["Bronze 1"]);
  });

  it("says it again when rest tells otherwise", () => {
    t.placement++;
    t.see("moving", t.shown(coins.bronze, false));
    t.see("settled", t.shown(coins.zinc));
    expect(t.said).toEqual(["Bronze cent.", "Copper-plated zinc cent."]);
    expect(t.counts()).toEqual(["Copper-plated zinc 1"]);
  });

  it("has a tone and a word of its own for a keeper, counts it by what is wanted, and goes on", () => {
    t.placement++;
    t.see("moving", t.shown(coins.silver, false)); // as soon as it is sure
    expect(t.toned).toEqual(["keeper"]);
    t.see("settled", t.shown(coins.silver));
    t.see("empty", null);
    t.weigh("silver");
    expect(t.toned).toEqual(["keeper", "keeper"]);
    expect(t.said).toEqual(["90 per cent silver dime. Keep it.", "90 per cent silver dime. Keep it."]);
    expect(t.handsFree.caption.value).toMatchObject({
      call: "keeper",
      kind: { sign: "Ag 90", keeper: true },
    });
    expect(t.handsFree.list.aside.value).toEqual([]);
    expect(t.handsFree.list.counts.value.rows).toMatchObject([
      { key: "keeper/cent/silver-900/silver+mercury", keeper: true, wanted: "Mercury dimes", count: 2 },
    ]);
  });

  it("counts by the metal's id, whatever it is called", () => {
    const renamed = (name: string): V => ({
      ...coins.bronze,
      metal: { id: "bronze", name },
      alloys: [alloy(name, "")],
    });
    t.placement++;
    t.see("settled", t.shown(renamed("bronze, 95 % copper")));
    t.see("empty", null);
    t.placement++;
    t.see("settled", t.shown(renamed("bronce, 95 % de cobre")));
    expect(t.counts()).toEqual(["Bronze 2"]);
    const row = t.handsFree.list.counts.value.rows[0];
    expect(row?.key).toBe("ordinary/cent/bronze");
    // What was chosen for it under the key of before still holds.
    t.handsFree.list.choose("ordinary/cent/bronze, 95 % copper", true);
    expect(row && t.handsFree.list.sets(row)).toBe(true);
    t.handsFree.list.choose("ordinary/cent/bronze", false);
    expect(row && t.handsFree.list.sets(row)).toBe(false);
  });

  it("says at its end what it came to, and nothing of the sitting before", () => {
    t.weigh("bronze");
    t.handsFree.end();
    expect(t.handsFree.summary.value).toMatchObject({ coins: 1, minutes: 1, keepers: 0, aside: [] });
    t.begin();
    expect(t.handsFree.summary.value).toBeNull();
    for (const coin of ["silver", "zinc", "zinc", "odd", "bronze", "zinc"] as const) t.weigh(coin);
    t.handsFree.takeBack();
    t.clock.pass(11 * 60_000);
    t.handsFree.list.reset(); // of the list, not of the sitting
    t.handsFree.end();
    const { summary } = t.handsFree;
    expect(summary.value).toMatchObject({ coins: 5, minutes: 11, keepers: 1, aside: [1] });
    expect(summary.value?.rows.map((r) => `${r.label} ${r.count}`)).toEqual([
      "Copper-plated zinc 2",
      "90 % silver 1",
      "Look closer 1",
      "Bronze 1",
    ]);
    expect(t.said.at(-1)).toBe("5 coins in 11 minutes, 1 keeper, 1 to look at.");
    t.begin();
    t.handsFree.end(); // nothing was weighed
    expect(t.handsFree.summary.value).toBeNull();
  });

  it("takes words back that are about a load once the pan is empty", () => {
    t.handsFree.end();
    t.placement++;
    t.handsFree.start("cent", t.message("settled"));
    expect(t.handsFree.caption.value.words).toBe(text.hands.lying);
    t.see("empty", null);
    expect(t.handsFree.caption.value.words).toBe("");
    t.placement++;
    t.see("withheld", null);
    expect(t.handsFree.caption.value.words).toBe(text.phaseHint.withheld);
    t.see("empty", null);
    expect(t.handsFree.caption.value.words).toBe("");
    t.weigh("bronze"); // what was said of a coin stays until the next
    expect(t.handsFree.caption.value.words).toBe("Bronze cent.");
  });

  it("puts what deserves a look on the list, numbered as it is said, and goes on", () => {
    t.weigh("odd");
    t.weigh("bronze");
    t.weigh("odd");
    expect(t.handsFree.list.aside.value.map((a) => a.number)).toEqual([1, 2]);
    expect(t.said[0]).toBe(
      "Number 1. Look: 2.27 grams is light for a cent, but right for a dime’s planchet.",
    );
    expect(t.toned).toEqual(["look", "older", "look"]);
    expect(t.happened()).toEqual(["counted", "set-aside", "counted", "counted", "set-aside"]);
    expect(t.counts()).toEqual(["Look closer 2", "Bronze 1"]);
  });

  it("says an undated nickel's doubt once, then counts it as ordinary with a note", () => {
    for (let i = 0; i < 3; i++) t.weigh("nickel");
    expect(t.said).toHaveLength(1);
    expect(t.said[0]).toContain("1942 to 1945");
    expect(t.said[0]).toContain(text.hands.said.onlyCounted);
    expect(t.toned).toEqual(["newer", "newer", "newer"]);
    expect(t.handsFree.list.aside.value).toEqual([]);
    expect(t.handsFree.list.counts.value.rows).toMatchObject([
      { count: 3, noted: true, label: "Copper-nickel" },
    ]);
    expect(t.handsFree.caption.value.words).toBe(coins.nickel.headline);
    t.handsFree.end();
    t.begin();
    t.weigh("nickel");
    expect(t.said).toHaveLength(1); // and once in the next sitting
  });

  it("sets real doubt aside, until the person says that it is only to be counted", () => {
    t.weigh("half");
    expect(t.handsFree.list.aside.value).toHaveLength(1);
    t.handsFree.list.choose(t.handsFree.list.counts.value.rows[0]?.key ?? "", false);
    t.weigh("half");
    t.weigh("half");
    expect(t.handsFree.list.aside.value).toHaveLength(1);
    expect(t.toned).toEqual(["look", "unsure", "unsure"]);
    expect(t.said).toHaveLength(2);
  });

  it("sets every coin of a kind aside that the person looks for", () => {
    t.weigh("bronze");
    t.handsFree.list.choose(t.handsFree.list.counts.value.rows[0]?.key ?? "", true);
    t.weigh("bronze");
    expect(t.handsFree.list.aside.value).toHaveLength(1);
    expect(t.said.at(-1)).toBe("Number 1. Bronze cent.");
    expect(t.toned).toEqual(["older", "look"]);
  });

  it("sets what the core lays aside on the list, though its alloy is told", () => {
    t.weigh("steel");
    expect(t.handsFree.list.aside.value).toHaveLength(1);
    expect(t.counts()).toEqual(["Zinc-coated steel 1"]);
  });

  it("moves a count when the coin turns out to be another, and takes back what that brought", () => {
    t.placement++;
    t.see("settled", t.shown(coins.odd)); // a finger leans on it
    expect(t.handsFree.list.aside.value).toHaveLength(1);
    t.see("settled", t.shown(coins.bronze));
    expect(t.handsFree.list.aside.value).toEqual([]);
    expect(t.counts()).toEqual(["Bronze 1"]);
    expect(t.said.at(-1)).toBe("Now: Bronze cent.");
    expect(t.happened()).toEqual(["counted", "set-aside", "removed", "taken-back", "counted"]);
  });

  it("puts better figures to a listed coin that stays what it was", () => {
    t.placement++;
    t.see("settled", t.shown(coins.odd));
    t.see("settled", t.shown({ ...coins.odd, headline: "2.26 g is light for a cent." }));
    expect(t.handsFree.list.aside.value).toMatchObject([
      { number: 1, verdict: { headline: "2.26 g is light for a cent." } },
    ]);
    expect(t.handsFree.list.total.value).toBe(1);
    expect(t.said).toHaveLength(1);
  });

  it("tells when a coin went too soon, and counts it apart", () => {
    t.placement++;
    t.see("moving", null);
    t.see("empty", null);
    expect(t.said).toEqual([text.hands.said.missed]);
    expect(t.handsFree.list.counts.value).toMatchObject({ rows: [], missed: 1 });
  });

  it("counts nothing stale, nothing with a problem, and nothing before its start or after its end", () => {
    t.placement++;
    t.handsFree.take(t.message("settled"), 1200, t.shown(coins.bronze));
    t.handsFree.take(
      t.message("settled", { problem: { code: "garbled", sentence: "Broken." } }),
      0,
      t.shown(coins.bronze),
    );
    expect(t.counts()).toEqual([]);
    t.handsFree.end();
    t.weigh("bronze");
    expect(t.counts()).toEqual([]);
  });

  it("says that two coins lie there at once, and neither counts them nor sets them aside", () => {
    t.weigh("two");
    expect(t.said).toEqual([coins.two.spoken]);
    expect(t.toned).toEqual(["unsure"]);
    expect(t.handsFree.list.counts.value).toMatchObject({ rows: [], missed: 0, unseen: 0 });
    expect(t.handsFree.list.aside.value).toEqual([]);
    t.weigh("bronze");
    t.weigh("zinc");
    expect(t.handsFree.list.total.value).toBe(2);
  });

  it("says once of a load whose weight can't be told to put it on again, and counts nothing", () => {
    t.placement++;
    t.see("moving", t.shown(coins.bronze, false)); // what was thought of it before
    t.said = [];
    for (let i = 0; i < 5; i++) t.see("withheld", null);
    expect(t.said).toEqual([text.phaseHint.withheld]);
    t.see("empty", null);
    t.see("empty", null);
    expect(t.handsFree.list.counts.value).toMatchObject({ rows: [], missed: 0, unseen: 0 });
    t.weigh("bronze");
    expect(t.counts()).toEqual(["Bronze 1"]);
    t.placement++;
    t.see("withheld", null);
    expect(t.said.filter((s) => s === text.phaseHint.withheld)).toHaveLength(2);
  });

  it("waits while another device holds the pan, and leaves out what lay there meanwhile", () => {
    const holder = (id: string) =>
      t.panControl.heard({ type: "pan", v: 1, holder: { id, name: id, role: "phone" }, asks: null });
    t.weigh("bronze");
    holder("b");
    expect(t.handsFree.paused.value).toBe(true);
    t.weigh("bronze");
    t.placement++;
    t.see("settled", t.shown(coins.zinc)); // the other's coin
    holder("me");
    t.handsFree.begin(t.message("settled"));
    t.see("settled", t.shown(coins.zinc));
    expect(t.counts()).toEqual(["Bronze 1"]);
    t.see("empty", null);
    t.weigh("zinc");
    expect(t.counts()).toEqual(["Bronze 1", "Copper-plated zinc 1"]);
  });

  it("doesn't begin while another device holds the pan", () => {
    const other = new Table();
    other.panControl.heard({ type: "pan", v: 1, holder: { id: "b", name: "b", role: "phone" }, asks: null });
    other.begin();
    expect(other.handsFree.on.value).toBe(false);
  });

  it("tells nothing aloud and makes no tone when muted, but shows and shakes", () => {
    t.handsFree.toggleMute();
    t.weigh("bronze");
    expect(t.said).toEqual([]);
    expect(t.toned).toEqual([]);
    expect(t.shaken).toBe(1);
    expect(t.handsFree.silent.value).toBe("muted");
    expect(t.handsFree.caption.value.words).toBe("Bronze cent.");
  });

  it("says only what is set aside if that is wanted, with the tones of all", () => {
    t.handsFree.prefs.say.value = "aside";
    t.weigh("bronze");
    t.weigh("odd");
    expect(t.said).toHaveLength(1);
    expect(t.said[0]).toContain("Number 1");
    expect(t.toned).toEqual(["older", "look"]);
    t.handsFree.again(); // asked for, so it is said
    expect(t.said).toHaveLength(2);
  });

  it("says a scale's inability once", () => {
    t.weigh("unclear");
    t.weigh("unclear");
    expect(t.said).toHaveLength(1);
    expect(t.toned).toEqual(["unsure", "unsure"]);
  });
});

describe("keys and pedal", () => {
  it("set the last coin aside, say again, take back, mute and end", () => {
    t.weigh("bronze");
    expect(t.handsFree.key(" ")).toBe(true);
    expect(t.handsFree.list.aside.value).toMatchObject([{ number: 1, byHand: true }]);
    t.handsFree.key("r");
    expect(t.said.at(-1)).toBe(t.handsFree.caption.value.words);
    t.handsFree.key("Backspace");
    expect(t.counts()).toEqual([]);
    expect(t.handsFree.list.aside.value).toHaveLength(1); // set aside by hand: it stays
    t.handsFree.key("Backspace");
    expect(t.said.at(-1)).toBe(text.hands.said.nothingToTakeBack);
    t.handsFree.key("m");
    expect(t.handsFree.prefs.mute.value).toBe(true);
    expect(t.handsFree.key("q")).toBe(false);
    t.handsFree.key("Escape");
    expect(t.handsFree.on.value).toBe(false);
  });

  it("give the pedal's own key what was chosen for it", () => {
    t.handsFree.prefs.pedalKey.value = "PageDown";
    t.handsFree.prefs.pedalDoes.value = "takeBack";
    t.weigh("bronze");
    expect(t.handsFree.key("PageDown")).toBe(true);
    expect(t.counts()).toEqual([]);
  });
});

describe("HandsList", () => {
  it("is there again on the next visit, with each coin's whole verdict", () => {
    t.weigh("odd");
    t.weigh("steel");
    t.weigh("bronze");
    const again = new HandsList({
      getItem: (k) => t.kept.get(k) ?? null,
      setItem: () => {},
      removeItem: () => {},
    });
    expect(again.counts.value).toEqual(t.handsFree.list.counts.value);
    expect(again.aside.value).toEqual(t.handsFree.list.aside.value);
    expect(again.put(again.aside.value[0] as AsideCoin, true)?.number).toBe(1);
  });

  it("gives its counts back after they were set to nothing, with what came since", () => {
    t.weigh("bronze");
    t.weigh("zinc");
    t.handsFree.list.reset();
    t.weigh("bronze");
    expect(t.counts()).toEqual(["Bronze 1"]);
    t.handsFree.list.undoReset();
    expect(t.counts()).toEqual(["Bronze 2", "Copper-plated zinc 1"]);
  });

  it("gives a removed coin back in its place, and tells who listens", () => {
    t.weigh("odd");
    t.weigh("odd");
    t.handsFree.remove("id-1");
    expect(t.handsFree.list.aside.value.map((a) => a.number)).toEqual([2]);
    t.handsFree.undoRemove();
    expect(t.handsFree.list.aside.value.map((a) => a.number)).toEqual([1, 2]);
    expect(t.happened().slice(-2)).toEqual(["removed", "set-aside"]);
  });

  it("takes damaged storage for none", () => {
    const list = new HandsList({
      getItem: () => '{"rows":[{"key":1},{"key":"a","label":"b","call":"odd","count":2}],"missed":-1}',
      setItem: () => {},
      removeItem: () => {},
    });
    expect(list.counts.value).toEqual({ rows: [], missed: 0, unseen: 0 });
    expect(list.aside.value).toEqual([]);
  });
});

describe("kindOf", () => {
  it.each<[Coin, Tone, boolean]>([
    ["bronze", "older", false],
    ["zinc", "newer", false],
    ["steel", "look", true],
    ["nickel", "newer", false],
    ["half", "look", true],
    ["odd", "look", true],
    ["unclear", "unsure", false],
  ])("tones “%s” as %s", (coin, tone, aside) => {
    expect(kindOf(t.shown(coins[coin]))).toMatchObject({ tone, aside });
  });

  it("keeps each kind's key of before, for the choices that are kept by it", () => {
    const keys = (["bronze", "nickel", "half", "odd", "unclear"] as const).map(
      (c) => kindOf(t.shown(coins[c])).keyBefore,
    );
    expect(keys).toEqual([
      "ordinary/cent/bronze, 95 % copper",
      "noted/cent/copper-nickel, 25 % nickel",
      "either/cent/Half dollar, clad or 40 % silver",
      "look/cent",
      "cannot-tell/cent",
    ]);
  });
});
